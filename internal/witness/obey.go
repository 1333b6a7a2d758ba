package witness

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"
)

// spoken is what the listener gets of one step.
type spoken struct {
	order int
	atS   float64
	at    [2]float64
	ahead float64 // metres to its first turn
	say   string
}

// Obeyed is what came of obeying a circuit's sentences.
type Obeyed struct {
	Sentences int
	Faults    []Disobeyed
}

// Disobeyed is a sentence after which the driver did not come where the plan
// does.
type Disobeyed struct {
	Step int // its order
	Say  string
	Why  string
}

// Obey drives a circuit on what is said alone: at every junction of the raw map
// the driver looks at the roads that leave it and does as told, or follows the
// road ahead where nothing is said. Wherever that is not what the plan drives,
// there is a fault, and the driver is put back on the plan. Left says that one
// drives on the left here.
func (w *Witness) Obey(file []byte, left bool) (Obeyed, error) {
	legs, _, _, err := readLegs(file)
	if err != nil {
		return Obeyed{}, err
	}
	steps, starts, err := readSpoken(file)
	if err != nil {
		return Obeyed{}, err
	}
	var out Obeyed
	for i, l := range legs {
		moves, err := w.trace(l)
		if err != nil {
			return out, err
		}
		var said []spoken
		for _, s := range steps {
			until := math.Inf(1)
			if i+1 < len(starts) {
				until = starts[i+1].atS - 0.01
			}
			if s.atS >= starts[i].atS-0.01 && s.atS < until {
				said = append(said, s)
			}
		}
		out.Sentences += len(said)
		out.Faults = append(out.Faults, w.obeyLeg(l, moves, said, starts[i].atS, starts[i].driveS, left)...)
	}
	return out, nil
}

// begun is when a leg begins and how long its drive is, in seconds.
type begun struct {
	order       int
	atS, driveS float64
}

func readSpoken(file []byte) ([]spoken, []begun, error) {
	var fc struct {
		Features []struct {
			Geometry   struct{ Coordinates json.RawMessage }
			Properties struct {
				Role, Say string
				Order     int
				AtS       float64 `json:"at_s"`
				DriveS    float64 `json:"drive_s"`
				DistanceM float64 `json:"distance_m"`
			}
		}
	}
	if err := json.Unmarshal(file, &fc); err != nil {
		return nil, nil, err
	}
	var steps []spoken
	var legs []begun
	for _, f := range fc.Features {
		switch p := f.Properties; p.Role {
		case "leg":
			legs = append(legs, begun{p.Order, p.AtS, p.DriveS})
		case "step":
			s := spoken{order: p.Order, atS: p.AtS, say: p.Say, ahead: p.DistanceM}
			if err := json.Unmarshal(f.Geometry.Coordinates, &s.at); err != nil {
				return nil, nil, err
			}
			steps = append(steps, s)
		}
	}
	sort.SliceStable(legs, func(i, j int) bool { return legs[i].order < legs[j].order })
	sort.SliceStable(steps, func(i, j int) bool { return steps[i].order < steps[j].order })
	return steps, legs, nil
}

// obeyLeg drives one leg.
func (w *Witness) obeyLeg(l leg, moves []move, said []spoken, begins, lasts float64, left bool) []Disobeyed {
	var faults []Disobeyed
	var now *spoken
	var orders []heard
	fault := func(why string) {
		d := Disobeyed{Why: why}
		if now != nil {
			d.Step, d.Say = now.order, now.say
		}
		faults = append(faults, d)
		orders = nil
	}
	spots := w.whenSaid(l, said, begins, lasts)
	next := 0
	listen := func(upTo int, beforeEnd bool) {
		for next < len(said) && (spots[next] < upTo || spots[next] == upTo && beforeEnd) {
			for _, o := range orders {
				if o.what != pullUp {
					fault(fmt.Sprintf("not carried out when the next is said: %q", said[next].say))
					break
				}
			}
			now = &said[next]
			heardNow, err := hear(said[next].say)
			if err != nil {
				fault(err.Error())
			}
			if len(heardNow) > 0 || err != nil {
				orders = nil
				for _, o := range heardNow {
					orders = append(orders, heard{order: o})
				}
			}
			next++
		}
	}
	for i := 0; i < len(moves); {
		listen(i, true)
		v := moves[i].head()
		if i+1 == len(moves) {
			break
		}
		if moves[i+1].head() == moves[i].tail() {
			// the plan turns back here: at a turning head, or told so
			if len(orders) == 0 || orders[0].what != endRound && orders[0].what != junctionBack && orders[0].what != circleBack {
				fault("the plan turns back, and nothing was said of it")
			} else {
				orders = orders[1:]
			}
			i++
			continue
		}
		c := w.junction(moves[i].tail(), v)
		if c == nil {
			i++
			continue
		}
		j := i + 1
		for j < len(moves) && c.nodes[moves[j].head()] {
			j++
		}
		if j == len(moves) {
			break
		}
		var h *heard
		if len(orders) > 0 {
			h = &orders[0]
		}
		choice, back, done, err := w.decide(c, moves[i].tail(), v, h, left)
		where := fmt.Sprintf("at node %d: ", v)
		switch planned := moves[j]; {
		case err != nil:
			fault(where + err.Error())
		case back:
			if planned.head() != moves[i].tail() && !sameName(planned.way, moves[i].way) {
				fault(where + "goes back the way it came, the plan does not")
			}
		case !w.sameRoad(choice, planned):
			fault(fmt.Sprintf("%sdrives into way %d %q, the plan into way %d %q", where, choice.way.ID, choice.way.Tags.Find("name"), planned.way.ID, planned.way.Tags.Find("name")))
		}
		if done && len(orders) > 0 {
			orders = orders[1:]
		}
		i = j
	}
	for _, o := range orders {
		if o.what != pullUp {
			fault("not carried out when the car stops")
			break
		}
	}
	return faults
}

// sameRoad says whether the arm chosen is the one that the plan drives.
func (w *Witness) sameRoad(a *arm, m move) bool { return a.from == m.tail() && a.to == m.head() }

// whenSaid gives for each sentence the index of the leg's move on which it is
// said, in order: never before the turn of the one before. Where the drive comes
// by a place twice, the time tells which.
func (w *Witness) whenSaid(l leg, said []spoken, begins, lasts float64) []int {
	gone := make([]float64, len(l.coords))
	for i := 1; i < len(l.coords); i++ {
		gone[i] = gone[i-1] + offLine(l.coords[i], l.coords[i-1], l.coords[i-1])
	}
	out := make([]int, len(said))
	at := 0
	for k, s := range said {
		expected := gone[len(gone)-1] * (s.atS - begins) / lasts
		best, found := math.Inf(1), at
		for i := at; i+1 < len(l.coords); i++ {
			d := offLine(s.at, l.coords[i], l.coords[i+1])
			if cost := math.Abs(gone[i]-expected) + 1e4*math.Max(0, d-0.3); cost < best {
				best, found = cost, i
			}
		}
		if found+2 < len(l.coords) && offLine(s.at, l.coords[found+1], l.coords[found+1]) < 0.3 {
			found++ // said at the node, as the car drives on from it
		}
		out[k] = found
		reach := gone[found] + offLine(s.at, l.coords[found], l.coords[found]) + s.ahead + 1
		for at = found; at+2 < len(l.coords) && gone[at+1] < reach; at++ {
		}
	}
	return out
}

// offLine is how far a point lies from a line between two, in metres.
func offLine(p, a, b [2]float64) float64 {
	const degree = 6371000 * math.Pi / 180
	k := math.Cos(a[1] * math.Pi / 180)
	bx, by := (b[0]-a[0])*k*degree, (b[1]-a[1])*degree
	px, py := (p[0]-a[0])*k*degree, (p[1]-a[1])*degree
	t := 0.0
	if n := bx*bx + by*by; n > 0 {
		t = math.Max(0, math.Min(1, (px*bx+py*by)/n))
	}
	return math.Hypot(px-t*bx, py-t*by)
}
