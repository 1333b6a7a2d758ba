package laying

import (
	"math"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// attributesOf turns a road's facts to the stretch's direction: reversed where
// the stretch runs against the way. Values beyond a column's range stay at its
// end.
func attributesOf(r *extract.Road, reversed bool) roadnet.Attributes {
	a := roadnet.Attributes{
		Class: r.Class, Link: bit[uint8](r.Link, 1), Surface: r.Surface, Lit: r.Lit,
		Use:           [2]extract.Use{r.UseForward, r.UseBackward},
		LimitSource:   [2]extract.LimitSource{r.LimitForward.Source, r.LimitBackward.Source},
		LimitLowDkmh:  [2]uint16{tenths(r.LimitForward.Low), tenths(r.LimitBackward.Low)},
		LimitHighDkmh: [2]uint16{tenths(r.LimitForward.High), tenths(r.LimitBackward.High)},
		Lanes:         [3]uint8{small(r.Lanes), small(r.LanesForward), small(r.LanesBackward)},
		WidthSource:   r.Width.Source, WidthCm: uint16(clamp(float64(r.Width.Metres)*100, 0, math.MaxUint16)),
		InclinePermil: int16(clamp(r.Incline.Percent*10, -math.MaxInt16, math.MaxInt16)),
		Parking:       [2]extract.ParkingPosition{r.Parking[0].Position, r.Parking[1].Position},
		ParkingBarred: [2]uint8{parkingBar(r.Parking[0]), parkingBar(r.Parking[1])},
		Layer:         r.Layer, Calming: bit[uint8](r.Calming != "" && r.Calming != "no", 1),
	}
	up, down := r.Incline.Up, r.Incline.Down
	if reversed {
		swap(&a.Use)
		swap(&a.LimitSource)
		swap(&a.LimitLowDkmh)
		swap(&a.LimitHighDkmh)
		a.Lanes[1], a.Lanes[2] = a.Lanes[2], a.Lanes[1]
		a.InclinePermil = -a.InclinePermil
		swap(&a.Parking)
		swap(&a.ParkingBarred)
		up, down = down, up
	}
	barred := r.Sidewalk == "no" || r.Sidewalk == "none"
	a.Flags = bit(r.Bridge, roadnet.Bridge) | bit(r.Tunnel, roadnet.Tunnel) | bit(r.Ford, roadnet.Ford) |
		bit(r.Roundabout, roadnet.Roundabout) | bit(r.TurningLoop, roadnet.TurningLoop) |
		bit(r.DualTag == extract.Yes, roadnet.DualTagged|roadnet.DualCarriageway) |
		bit(r.Incline.Known, roadnet.InclineKnown) | bit(up, roadnet.InclineUp) | bit(down, roadnet.InclineDown) |
		bit(r.Busway, roadnet.BusLane) | bit(r.BusRoute, roadnet.BusRoute) |
		bit(r.Sidewalk != "" && !barred, roadnet.Sidewalk) | bit(barred, roadnet.NoSidewalk) |
		bit(badSmoothness[r.Smoothness], roadnet.SmoothnessBad) |
		bit(r.ConditionalAccess != "", roadnet.ConditionalUse)
	return a
}

// badSmoothness are the values of smoothness=* from "bad" down: of use to
// robust wheels, trekking bikes and normal cars at best.
var badSmoothness = map[string]bool{
	"bad": true, "very_bad": true, "horrible": true, "very_horrible": true, "impassable": true,
}

func parkingBar(p extract.Parking) uint8 {
	b := bit(p.Conditional, roadnet.ConditionalParking) |
		bit(p.Orientation == "perpendicular" || p.Orientation == "diagonal", roadnet.PerpendicularParking)
	switch p.Restriction {
	case "no_parking", "loading", "loading_only", "charging_only":
		b |= roadnet.NoParking
	case "no_stopping", "no_standing", "fire_lane":
		b |= roadnet.NoStopping
	}
	return b
}

func bit[T ~uint8 | ~uint16](yes bool, flag T) T {
	if yes {
		return flag
	}
	return 0
}

func swap[T any](pair *[2]T) { pair[0], pair[1] = pair[1], pair[0] }

func clamp(v, low, high float64) float64 { return math.Max(low, math.Min(high, math.Round(v))) }

func tenths(v geo.MetresPerSecond) uint16 {
	return uint16(clamp(v.KilometresPerHour()*10, 0, math.MaxUint16))
}

func small(n int) uint8 { return uint8(max(0, min(n, 255))) }
