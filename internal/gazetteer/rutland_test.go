package gazetteer_test

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"loopwright/internal/gazetteer"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
)

// TestRutland asks a real county for its own roads: each is found by its name,
// or by its name and settlement, or by the kerb of one of the places listed;
// and every one says which way it faces.
func TestRutland(t *testing.T) {
	n, _ := indexingtest.Lay(t, indexingtest.Shared(t, indexingtest.Rutland2022), "gb")
	r := rand.New(rand.NewPCG(1, 5))
	once, listed, towards := 0, 0, 0
	for asked := 0; asked < 150; {
		stretch := roadnet.StretchID(r.IntN(n.NumStretches()))
		name := n.Name(n.NameOf(stretch))
		if name == "" || !n.Drivable(stretch.Segment(true)) {
			continue
		}
		asked++
		places := []gazetteer.Result{}
		found, err := gazetteer.Find(n, strings.ToUpper(name))
		var several *gazetteer.Ambiguous
		switch {
		case err == nil:
			places = append(places, found)
			once++
		case errors.As(err, &several):
			listed++
			for _, m := range several.Matches {
				again, err := gazetteer.Find(n, m.Kerb.String())
				if err != nil || again.Position.Segment != m.Position.Segment {
					t.Errorf("%q: kerb %v is %v, %v", name, m.Kerb, again, err)
				}
				places = append(places, m.Result)
			}
		default:
			t.Errorf("Find(%q): %v", name, err)
		}
		for _, p := range places {
			if !strings.EqualFold(p.Road, name) && !strings.Contains(p.Road, " ") {
				t.Errorf("Find(%q) stands on %q", name, p.Road)
			}
			if p.Side != roadnet.Left || !n.Drivable(p.Position.Segment) {
				t.Errorf("Find(%q) stands on the %v of a segment that is drivable: %t", name, p.Side, n.Drivable(p.Position.Segment))
			}
			if says := gazetteer.Describe(n, p.Position); strings.HasPrefix(says, p.Road+", facing ") && strings.Contains(says, "towards") {
				towards++
			}
		}
	}
	t.Logf("of 150 roads %d are one place and %d are listed; %d places face towards a road", once, listed, towards)
	if towards < 100 {
		t.Errorf("only %d places face towards a road", towards)
	}
}
