package assess

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"loopwright/internal/roadnet"
)

// What was asked of a stretch before changes no answer: questions in random order,
// of an assessor that has read some already, against a new one for each. And the
// promising places are those of Scan that are likely.
func TestAnswersDoNotHangOnWhatWasAskedBefore(t *testing.T) {
	n, p := rutland(t)
	const seed = 11
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	old := New(n, p)
	likely := 0
	for range 400 {
		s := roadnet.StretchID(random.IntN(n.NumStretches()))
		ex := Exercises()[random.IntN(len(Exercises()))]
		questions := []func(a *Assessor) any{
			func(a *Assessor) any { return a.Scan(ex, s) },
			func(a *Assessor) any { return a.Places(ex, s) },
			func(a *Assessor) any { return a.Examples(ex, s.Segment(true)) },
			func(a *Assessor) any { return a.Examples(ex, s.Segment(false)) },
			func(a *Assessor) any { return a.Promising(ex, s) },
		}
		for range 6 {
			ask := questions[random.IntN(len(questions))]
			if got, want := ask(old), ask(New(n, p)); !reflect.DeepEqual(got, want) {
				t.Fatalf("stretch %d, %s: %+v after other questions, %+v at first", s, ex.Name, got, want)
			}
		}
		var want []Place
		for _, place := range old.Scan(ex, s) {
			if place.Verdict >= Likely {
				want = append(want, place)
			}
		}
		if got := old.Promising(ex, s); !slices.EqualFunc(got, want, func(x, y Place) bool { return reflect.DeepEqual(x, y) }) {
			t.Fatalf("stretch %d, %s: promising are %+v, want %+v", s, ex.Name, got, want)
		}
		likely += len(want)
	}
	if likely < 20 {
		t.Errorf("only %d likely places: the test tells nothing", likely)
	}
}
