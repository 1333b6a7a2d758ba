package desk

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/gazetteer"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// Reversed is kerbs of one road whose verdict is another one than it would be
// without what was seen on a survey drive.
type Reversed struct {
	Road   string              `json:"road"`
	Seen   bool                `json:"seen"` // on the drive; else what was seen elsewhere tells
	Before assess.Verdict      `json:"before"`
	After  assess.Verdict      `json:"after"`
	Kerbs  []string            `json:"kerbs"`
	Where  orb.MultiLineString `json:"where"` // the stretch of each
}

// Changed gives what the answers to a drive change, as it stands on the day of
// the drive, by road: where one looked, and at the best place of every other kerb.
func (a *Answers) Changed() ([]Reversed, error) {
	return guarded(a.d, func() ([]Reversed, error) {
		without, with, err := a.judges()
		if err != nil {
			return nil, err
		}
		looked := a.looked()
		out := []Reversed{}
		for s := range roadnet.StretchID(a.d.net.NumStretches()) {
			_, there := looked[s.Segment(true)]
			_, back := looked[s.Segment(false)]
			seen := there || back
			before, after := without.Scan(a.ex, s), with.Scan(a.ex, s)
			for i, p := range after {
				if i >= len(before) || before[i].Position.Segment != p.Position.Segment {
					continue // a car park's other end
				}
				was := before[i]
				if at, ok := looked[p.Position.Segment]; ok {
					was, p = without.At(a.ex, at.Position, at.Side), with.At(a.ex, at.Position, at.Side)
				}
				if was.Verdict == p.Verdict {
					continue
				}
				out = append(out, Reversed{
					Road: gazetteer.RoadAt(a.d.net, p.Position), Seen: seen, Before: was.Verdict, After: p.Verdict,
					Kerbs: []string{a.d.net.KerbAt(p.Position, p.Side).String()}, Where: orb.MultiLineString{a.d.net.Line(s.Segment(true))},
				})
			}
		}
		return byRoad(out), nil
	})
}

// judges gives an assessor that heeds no answer to this drive, and one that heeds
// all notes, both as they stand at the hour of the drive.
func (a *Answers) judges() (without, with *assess.Assessor, err error) {
	all, err := a.d.noted.store.Within(a.d.net.About().Bounds)
	if err != nil {
		return nil, nil, notesFault(err)
	}
	when := notes.When{Day: calendar.DateOf(a.c.StartsAt), Hour: a.c.StartsAt}
	return a.d.assess.WithNotes(notes.Match(a.d.net, all.Without(a.id)), when), a.d.assess.WithNotes(a.d.view, when), nil
}

// looked gives the places of the drive by segment. Those that the map has no road
// for any longer are left out.
func (a *Answers) looked() map[roadnet.SegmentID]gazetteer.Result {
	at := map[roadnet.SegmentID]gazetteer.Result{}
	for i := range a.Roads {
		if found, err := a.d.find(a.Roads[i].Kerb); err == nil {
			at[found.Position.Segment] = found
		}
	}
	return at
}

// byRoad puts what changed alike in one road together.
func byRoad(all []Reversed) []Reversed {
	slices.SortStableFunc(all, func(x, y Reversed) int {
		return cmp.Or(cmp.Compare(x.Road, y.Road), cmp.Compare(x.Before, y.Before), cmp.Compare(x.After, y.After))
	})
	out := []Reversed{}
	for _, r := range all {
		if n := len(out); n > 0 && out[n-1].Road == r.Road && out[n-1].Before == r.Before && out[n-1].After == r.After {
			last := &out[n-1]
			last.Seen = last.Seen || r.Seen
			last.Kerbs, last.Where = append(last.Kerbs, r.Kerbs...), append(last.Where, r.Where...)
			continue
		}
		out = append(out, r)
	}
	return out
}
