package assess

import (
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// Of Rutland's car parks those that are tagged private are roads to judge for
// being so, and none is that is not; those that look right would do. Each is
// driven along to just past its way in, for its one known reason.
func TestCarParksToJudge(t *testing.T) {
	n, p := rutland(t)
	ex, err := Named("bay-park-reverse")
	if err != nil {
		t.Fatal(err)
	}
	a := New(n, p)
	count := map[string]int{}
	for s := range roadnet.StretchID(n.NumStretches()) {
		parks := a.parks()[s]
		for _, forward := range []bool{true, false} {
			for _, e := range a.Examples(ex, s.Segment(forward)) {
				count[e.Reason]++
				if e.From < 0 || e.To > n.Length(s) || e.To-e.From < 40 {
					t.Errorf("%s is driven along from %v to %v of %v", e.Park, e.From, e.To, n.Length(s))
				}
				near, private := false, false
				for _, park := range parks {
					at := park.Entrance.Along
					if park.Entrance.Segment.Forward() != forward {
						at = n.Length(s) - at
					}
					if at >= e.From-1 && at <= e.To+1 {
						near, private = true, private || park.Use == extract.Private || park.Use == extract.Barred
					}
				}
				if !near {
					t.Errorf("%s: no way into a car park on the part driven along", e.Park)
				}
				if e.Reason == "car-park-access" && !private {
					t.Errorf("%s is told to be private, and no car park there is by its tag", e.Park)
				}
				if e.Reason == Suits {
					if e.Verdict < Likely {
						t.Errorf("%s would do, and is %v", e.Park, e.Verdict)
					}
					continue
				}
				if f := named(e.Findings, e.Reason); e.Verdict != Unsuitable || f == nil || f.Holds != HoldsNo || !f.Evidence.Known() {
					t.Errorf("%s is %v for %s: %+v", e.Park, e.Verdict, e.Reason, f)
				}
				if words := Key(e, ex, p); len(words) < 20 {
					t.Errorf("%s: the key says %q", e.Park, words)
				}
			}
		}
	}
	t.Logf("by reason: %v", count)
	if count["car-park-access"] < 20 || count[Suits] < 20 {
		t.Errorf("by reason: %v: too few to tell", count)
	}
}
