package manoeuvre

import (
	"math"

	"loopwright/internal/geo"
)

// MostMovements is where the turn in the road gives up: our choice, since a
// road that takes eleven movements is no place to learn.
const MostMovements = 9

// TurnInRoad simulates the turn in the road between kerbs a width apart, from
// the near kerb until the car faces the other way. Odd movements go forward on
// right lock up to the far kerb, even ones in reverse on left lock up to the
// near kerb; each stops where the driver's margin is reached or where the car
// faces back (heading π). The last is always forward.
//
//	X = 0                 X = width
//	near kerb             far kerb
//	  |  3 <---.            |
//	  |         \           |
//	  |  1 --.   \          |
//	  |  ^    `---> 2 ...   |
//
// ok is false where the car can't turn in MostMovements: the road is too
// narrow, or the start gap less than the swing of the tail (a few centimetres,
// for the whole body only).
//
// Full lock throughout is not the only way to turn, but a search over all
// positions, headings and steering finds no better one in three or five
// movements.
func TurnInRoad(v Vehicle, width geo.Metres, within Within, d Driver) (movements []Movement, ok bool) {
	return turnWithin(v, width, within, d, MostMovements)
}

func turnWithin(v Vehicle, width geo.Metres, within Within, d Driver, most int) ([]Movement, bool) {
	t := turn{v, width, within, d}
	at := Pose{At: geo.XY{X: float64(d.StartGap + v.Width/2)}}
	if !t.fits(at, Forward) {
		return nil, false
	}
	var ms []Movement
	for len(ms) < most {
		gear := Forward
		if len(ms)%2 == 1 {
			gear = Reverse
		}
		m := t.movement(at, gear)
		ms = append(ms, m)
		turned := m.End().Heading - at.Heading
		at = m.End()
		if gear == Forward && facesBack(at) {
			return ms, true
		}
		if turned < leastTurned && !facesBack(at) {
			return nil, false
		}
	}
	return nil, false
}

// leastTurned is the turn below which a movement is no progress.
const leastTurned = 0.01 * geo.Degree

func facesBack(p Pose) bool { return p.Heading > math.Pi-1e-6 }

// turn is the road and the car of one simulation.
type turn struct {
	v      Vehicle
	width  geo.Metres
	within Within
	d      Driver
}

// fits tells whether the car is between the kerbs, and the margin away from the
// one that it is driven at.
func (t turn) fits(p Pose, gear Gear) bool {
	least, most := geo.Metres(0), t.width
	if gear == Forward {
		most -= t.d.Margin
	} else {
		least += t.d.Margin
	}
	for _, q := range t.within.points(t.v, p) {
		if x := geo.Metres(q.X); x < least-tiny || x > most+tiny {
			return false
		}
	}
	return true
}

// tiny forgives rounding.
const tiny geo.Metres = 1e-9

// rollStep is the step of the simulation; the stop is found within it by
// halving.
const rollStep geo.Metres = 0.02

// movement drives one movement to its stop.
func (t turn) movement(from Pose, gear Gear) Movement {
	m := Movement{gear, []Pose{from}}
	at := from
	var rolled, drawn geo.Metres
	// Forward on right lock and reverse on left lock both turn the car to the
	// right: along and curvature have the same sign.
	step := func(ds geo.Metres) Pose {
		return at.drive(ds*gear.sign(), t.d.curvature(t.v, rolled+ds/2)*float64(gear.sign()))
	}
	free := func(p Pose) bool { return p.Heading <= math.Pi && t.fits(p, gear) }
	for !facesBack(at) {
		next := step(rollStep)
		if !free(next) {
			low, high := geo.Metres(0), rollStep
			for range 40 {
				if mid := (low + high) / 2; free(step(mid)) {
					low = mid
				} else {
					high = mid
				}
			}
			at = step(low)
			break
		}
		at, rolled = next, rolled+rollStep
		if drawn += rollStep; drawn >= drawStep {
			m.Poses, drawn = append(m.Poses, at), 0
		}
	}
	m.Poses = append(m.Poses, at)
	return m
}

// LeastWidth is the least width between kerbs at which the car turns in a
// number of movements, to the millimetre. An even number gains nothing over
// the odd one below it, since the last movement is forward. ok is false for
// fewer than one movement, and where no width will do (see TurnInRoad).
func LeastWidth(v Vehicle, movements int, within Within, d Driver) (width geo.Metres, ok bool) {
	if movements < 1 {
		return 0, false
	}
	enough := func(w geo.Metres) bool {
		_, ok := turnWithin(v, w, within, d, movements)
		return ok
	}
	// Wide enough for any car: there and back across two full circles.
	low, high := geo.Metres(0), 2*(v.KerbCircle+v.Length)+d.StartGap+d.Margin+windOn(v, d)
	if !enough(high) {
		return 0, false
	}
	for high-low > 0.0005 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// windOn is how far the car rolls until full lock is on.
func windOn(v Vehicle, d Driver) geo.Metres {
	if d.SteeringRate <= 0 {
		return 0
	}
	return geo.Metres(float64(v.SteeringAngle()) / float64(d.SteeringRate) * float64(d.Crawl))
}

// WidthWithoutReverse is the least width for a turn in one sweep with full lock
// at once: start gap, half the car, the radius of the rear axle's middle, the
// outermost radius and the margin, added up. LeastWidth with one movement gives
// the same by simulation, and covers a slower steering wheel.
func WidthWithoutReverse(v Vehicle, within Within, d Driver) geo.Metres {
	outer := v.OuterWheelRadius()
	if within == Body {
		outer = v.OuterCornerRadius()
	}
	return d.StartGap + v.Width/2 + v.RearAxleRadius() + outer + d.Margin
}
