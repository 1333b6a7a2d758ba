package manoeuvre

import (
	"math"
	"testing"
)

// search is another way to the least width: it knows nothing of full-lock
// arcs, of kerbs as stops or of which lock belongs to which gear. It floods the
// space of (distance from the near kerb, heading) with short steps at left
// lock, straight ahead and right lock, layer by layer: layer n holds what n
// movements reach. The place along the road does not matter between straight
// kerbs. Cells of 1 cm × 0.5° keep the first exact state that enters them.
type search struct {
	width, radius          float64
	left, right            float64 // half width of the part that must fit
	ahead, behind          float64
	startX                 float64
	cellX, cellH, stepSize float64
}

func newSearch(v Vehicle, width float64, within Within) search {
	s := search{
		width: width, radius: float64(v.RearAxleRadius()),
		startX: 0.25 + float64(v.Width)/2,
		cellX:  0.01, cellH: 0.5 * math.Pi / 180, stepSize: 0.05,
	}
	half := float64(v.Track) / 2
	s.ahead, s.behind = float64(v.Wheelbase), 0
	if within == Body {
		half = float64(v.Width) / 2
		s.ahead += float64(v.FrontOverhang)
		s.behind = float64(v.RearOverhang)
	}
	s.left, s.right = half, half
	return s
}

type searchState struct{ x, h float64 }

func (s search) inside(q searchState) bool {
	sin, cos := math.Sincos(q.h)
	for _, along := range []float64{s.ahead, -s.behind} {
		for _, side := range []float64{-s.left, s.right} {
			if x := q.x + along*sin + side*cos; x < 0 || x > s.width {
				return false
			}
		}
	}
	return true
}

// turns tells whether a number of movements turn the car round.
func (s search) turns(movements int) bool {
	type cell struct{ x, h int32 }
	reached := []searchState{{s.startX, 0}}
	for n := range movements {
		dir := 1.0
		if n%2 == 1 {
			dir = -1
		}
		seen := make(map[cell]bool)
		queue := append([]searchState(nil), reached...)
		for i := 0; i < len(queue); i++ {
			for _, curve := range []float64{-1 / s.radius, 0, 1 / s.radius} {
				q := queue[i]
				// The midpoint rule, not the exact arc of the program.
				mid := q.h + dir*s.stepSize*curve/2
				q.x += dir * s.stepSize * math.Sin(mid)
				q.h += dir * s.stepSize * curve
				if q.h < -math.Pi/2 || q.h > 1.5*math.Pi || !s.inside(q) {
					continue
				}
				if dir > 0 && q.h >= math.Pi-s.cellH {
					return true
				}
				c := cell{int32(q.x / s.cellX), int32(math.Floor(q.h / s.cellH))}
				if !seen[c] {
					seen[c] = true
					queue = append(queue, q)
				}
			}
		}
		reached = queue
	}
	return false
}

func TestLeastWidthAgreesWithSearch(t *testing.T) {
	all := fleet(t)
	for _, c := range computedWidths {
		for _, within := range []Within{Wheels, Body} {
			for _, n := range []int{3, 5} {
				got, ok := LeastWidth(all[c.id], n, within, Expert)
				if !ok {
					t.Errorf("%s, %v, %d movements: no width", c.id, within, n)
					continue
				}
				if newSearch(all[c.id], float64(got)-0.1, within).turns(n) {
					t.Errorf("%s, %v: the search turns in %d at %.2f m, 0.1 m below the least width", c.id, within, n, got-0.1)
				}
				if !newSearch(all[c.id], float64(got)+0.1, within).turns(n) {
					t.Errorf("%s, %v: the search does not turn in %d at %.2f m, 0.1 m above the least width", c.id, within, n, got+0.1)
				}
			}
		}
	}
}
