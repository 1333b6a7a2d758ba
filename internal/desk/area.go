package desk

import (
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/gazetteer"
	"loopwright/internal/roadnet"
)

// AreaRequest asks what can be taught around a point.
type AreaRequest struct {
	Near string // a PLACE
	Now  time.Time
	Done <-chan struct{}
}

// Area counts the places for each exercise by the minutes' drive to them.
type Area struct {
	Near    string       `json:"near"`
	Said    string       `json:"said,omitempty"`
	At      orb.Point    `json:"at"`
	Minutes []float64    `json:"minutes"` // 5, 10, 15
	Offers  []AreaOffers `json:"exercises"`
}

// AreaOffers is the counts of one exercise. Counts are within the minutes of the
// same index, so that each holds the ones before it.
type AreaOffers struct {
	Exercise string `json:"exercise"`
	Title    string `json:"title"`
	Fit      []int  `json:"fit"`      // suitable, or look right
	Possible []int  `json:"possible"` // possible
}

// areaMinutes are the rings of the area view.
var areaMinutes = []float64{5, 10, 15}

// Area counts what an area offers.
func (d *Desk) Area(r AreaRequest) (*Area, error) {
	return guarded(d, func() (*Area, error) { return d.area(r) })
}

func (d *Desk) area(r AreaRequest) (*Area, error) {
	from, tree, err := d.drivesFrom(r.Near, areaMinutes[len(areaMinutes)-1])
	if err != nil {
		return nil, err
	}
	out := &Area{Near: gazetteer.Describe(d.net, from.Position), Said: from.Said, At: from.At, Minutes: areaMinutes}
	judge := d.judge(r.Now)
	for _, ex := range assess.Exercises() {
		offers := AreaOffers{Exercise: ex.Name, Title: ex.Title, Fit: make([]int, len(areaMinutes)), Possible: make([]int, len(areaMinutes))}
		for s := range roadnet.StretchID(d.net.NumStretches()) {
			if s%64 == 0 && closed(r.Done) {
				return nil, ErrStopped
			}
			if !d.reached(tree, s) {
				continue
			}
			for _, p := range judge.scan(ex, s) {
				counts := offers.Possible
				switch p.Verdict {
				case assess.Suitable, assess.Likely:
					counts = offers.Fit
				case assess.Possible:
				default:
					continue
				}
				ms, ok := tree.Ms(p.Position)
				for i, minutes := range areaMinutes {
					if ok && float64(ms) <= minutes*60000 {
						counts[i]++
					}
				}
			}
		}
		out.Offers = append(out.Offers, offers)
	}
	return out, nil
}
