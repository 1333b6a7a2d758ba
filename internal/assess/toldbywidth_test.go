package assess

import (
	"math"
	"testing"
)

// Of a place of which all but the width is sure, the width explains the variance
// of the share of instructors who would take it: by hand, over a fine grid.
func TestToldByWidth(t *testing.T) {
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	low, high := 4.5, 6.5
	chance := shareOf(ex.need("clear-width").accepts, 5.5, 1)
	findings := []Finding{{Criterion: "clear-width", Low: &low, High: &high, Chance: chance, Evidence: Assumed}}
	var sum, squares, all float64
	for z := -6.0; z <= 6; z += 0.001 {
		weight, share := math.Exp(-z*z/2), shareAt(ex.need("clear-width").accepts, 5.5+z)
		sum, squares, all = sum+weight*share, squares+weight*share*share, all+weight
	}
	want := squares/all - sum/all*sum/all
	if got := ToldByWidth(findings, ex, 1); math.Abs(got-want) > 0.02 {
		t.Errorf("the width explains %v, want %v", got, want)
	}
	half := ToldByWidth(findings, ex, 0.5)
	if half <= 0 || half >= want/2 {
		t.Errorf("of half the spread %v is told, of all of it %v", half, want)
	}
	for _, e := range []Evidence{Mapped, Measured} {
		findings[0].Evidence = e
		if got := ToldByWidth(findings, ex, 1); got != 0 {
			t.Errorf("%v: %v is told of a width that is known", e, got)
		}
	}
	if findings[0].Chance != chance {
		t.Errorf("the finding was changed")
	}
}
