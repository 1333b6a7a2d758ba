package desk_test

import (
	"bytes"
	"runtime"
	"testing"
	"time"

	"loopwright/internal/desk"
)

// The files of a survey are the same bytes however many processors there are.
func TestSurveyIsTheSameBytes(t *testing.T) {
	d, _ := drawn(t, "estate", estate)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first []desk.SurveyFile
	for _, processors := range []int{1, 2, 8} {
		runtime.GOMAXPROCS(processors)
		found, err := d.Survey(desk.SurveyRequest{Around: "High Street", Within: 10, Drive: 20, Exercise: "turn-in-the-road", When: "2027-03-04 10:00", Seed: 1, Now: time.Date(2027, 3, 4, 9, 0, 0, 0, time.UTC)})
		if err != nil {
			t.Fatal(err)
		}
		files, err := found.Made()
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = files
		}
		if len(files) != 4 || len(first) != 4 {
			t.Fatalf("%d files, want 4", len(files))
		}
		for i, f := range files {
			if f.Name != first[i].Name || !bytes.Equal(f.Content, first[i].Content) {
				t.Errorf("with %d processors %s differs", processors, f.Name)
			}
		}
	}
}
