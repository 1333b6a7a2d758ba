package handover_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/browsertest"
	"loopwright/internal/circuit"
	"loopwright/internal/handover"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/lesson"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
	"loopwright/internal/survey"
)

// surveyed is a report of a part of the invented town, and a drive through it.
func surveyed(t testing.TB) (*survey.Report, *circuit.Circuit) {
	t.Helper()
	text, err := data.Demo.ReadFile("demo/town.osm.pbf")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "town.osm.pbf")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	n, p := indexingtest.Lay(t, path, "gb")
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	turn, err := assess.Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	var from roadnet.Position
	for s := range roadnet.StretchID(n.NumStretches()) {
		if n.Name(n.NameOf(s)) == "Merrack Avenue" {
			from = roadnet.Position{Segment: s.Segment(true), Along: n.Length(s) / 2}
			break
		}
	}
	area := survey.Around(n, route.NewWeights(n, p, paces["near-test"]), from, 200)
	a := assess.New(n, p)
	c, err := survey.Drive(area, p, a, survey.Request{From: "Merrack Avenue", Exercise: turn, Minutes: 30, When: time.Date(2027, 5, 11, 10, 0, 0, 0, time.UTC), Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	report, err := survey.Look(area, p, a, (*notes.View)(nil).At(notes.When{}), nil)
	if err != nil {
		t.Fatal(err)
	}
	return report, c
}

// The report and the sheet ask for nothing but themselves, axe-core finds nothing
// serious, no width makes them scroll sideways, and every road of the drive is on
// the sheet once.
func TestSurveyPagesInABrowser(t *testing.T) {
	r, c := surveyed(t)
	report, err := handover.SurveyReport(r, c, lesson.Attribution)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := handover.SurveySheet(c)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(string(sheet), `class="road"`); got != len(c.Examples) {
		t.Errorf("the sheet has %d roads, the drive %d", got, len(c.Examples))
	}
	if got := strings.Count(string(sheet), "Width, paced"); got == 0 || got >= len(c.PullUps) {
		t.Errorf("the sheet has %d paced widths, the drive %d stops", got, len(c.PullUps))
	}
	if got := strings.Count(string(sheet), "<li value="); got != len(c.Steps) {
		t.Errorf("the sheet has %d directions, the drive %d", got, len(c.Steps))
	}
	b := browsertest.Start(t)
	for name, html := range map[string][]byte{"report": report, "sheet": sheet} {
		t.Run(name, func(t *testing.T) {
			p := b.Show(t, html)
			for _, width := range []int64{360, 800, 1280} {
				p.Resize(width, 900)
				if got := browsertest.Eval[int64](p, `document.scrollingElement.scrollWidth`); got > width {
					t.Errorf("at %d pixels the page is %d wide", width, got)
				}
			}
			if asked := p.Asked(); len(asked) != 1 || !strings.HasPrefix(asked[0], "file:") {
				t.Errorf("the page asks for %v", asked)
			}
			for _, v := range p.Axe() {
				t.Error(v)
			}
		})
	}
}
