package desk

import (
	"cmp"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/gazetteer"
	"loopwright/internal/roadnet"
)

// LookRequest asks what the roads in a box are fit for.
type LookRequest struct {
	Exercise                 string
	West, South, East, North float64 // degrees
	Now                      time.Time
	Done                     <-chan struct{}
}

// Looked is the roads in a box, and its places that are not unsuitable, best
// first.
type Looked struct {
	Exercise string                    `json:"exercise"`
	Roads    map[string]assess.Verdict `json:"roads"` // the better side of each stretch, by its name on the map
	Places   []Spot                    `json:"places"`
	More     int                       `json:"more"` // places that are not listed
	TooWide  bool                      `json:"too_wide,omitempty"`
}

// Spot is a place in few words.
type Spot struct {
	Kerb    string         `json:"kerb"`
	Road    string         `json:"road"`
	Side    string         `json:"side"`
	Facing  string         `json:"facing"` // the way that the car comes
	Verdict assess.Verdict `json:"verdict"`
	Line    orb.LineString `json:"line"`
	OnMap   string         `json:"on_map"` // the name on the map of its stretch
}

const (
	// mostLooked is how many stretches are assessed for one view, listedSpots how
	// many places are listed. Our choice: a town of 30,000 has some 1,500
	// stretches, and nobody reads a longer list.
	mostLooked  = 4000
	listedSpots = 40
)

// Look assesses every road in a box for an exercise.
func (d *Desk) Look(r LookRequest) (*Looked, error) {
	return guarded(d, func() (*Looked, error) { return d.look(r) })
}

func (d *Desk) look(r LookRequest) (*Looked, error) {
	ex, err := d.exercise(r.Exercise)
	if err != nil {
		return nil, err
	}
	box := orb.Bound{Min: orb.Point{r.West, r.South}, Max: orb.Point{r.East, r.North}}
	if !(r.West >= -180 && r.West <= r.East && r.East <= 180 && r.South >= -90 && r.South <= r.North && r.North <= 90) {
		return nil, fault(WrongUse, "", "a view needs its west, south, east and north in degrees")
	}
	out := &Looked{Exercise: ex.Name, Roads: map[string]assess.Verdict{}, Places: []Spot{}}
	var stretches []roadnet.StretchID
	d.net.Within(box, func(s roadnet.StretchID) bool {
		stretches = append(stretches, s)
		return len(stretches) <= mostLooked
	})
	if len(stretches) > mostLooked {
		out.TooWide = true
		return out, nil
	}
	slices.Sort(stretches)
	judge := d.judge(r.Now)
	var fit []assess.Place
	for i, s := range stretches {
		if i%64 == 0 && closed(r.Done) {
			return nil, ErrStopped
		}
		places := judge.scan(ex, s)
		if len(places) == 0 {
			continue
		}
		best := places[0].Verdict
		for _, p := range places {
			best = max(best, p.Verdict)
			if p.Verdict > assess.Unsuitable {
				fit = append(fit, p)
			}
		}
		out.Roads[d.keyOf(s)] = best
	}
	slices.SortStableFunc(fit, func(a, b assess.Place) int {
		return cmp.Or(cmp.Compare(b.Verdict, a.Verdict), cmp.Compare(b.Chance+b.MapFit, a.Chance+a.MapFit))
	})
	for _, p := range fit {
		line := part(d.net.Line(p.Position.Segment), p.From, p.To)
		if !line.Bound().Intersects(box) {
			continue // its stretch only passes through the view
		}
		if len(out.Places) == listedSpots {
			out.More++
			continue
		}
		out.Places = append(out.Places, Spot{
			Kerb: d.net.KerbAt(p.Position, p.Side).String(), Road: gazetteer.RoadAt(d.net, p.Position), Side: p.Side.String(),
			Facing: d.facing(p.Position), Verdict: p.Verdict, Line: line, OnMap: d.keyOf(p.Position.Segment.Stretch()),
		})
	}
	return out, nil
}

func closed(done <-chan struct{}) bool {
	select {
	case <-done:
		return true
	default:
		return false
	}
}
