package lesson

import (
	"math"

	"loopwright/internal/elevation"
	"loopwright/internal/geo"
)

// heights are those of the road along a part of a drive, at equal steps of at
// most elevation.Step; nil where not all of them are known.
func (d *drive) heights(a, b spot) []geo.Metres {
	length := d.part(a, b).Length
	if length <= 0 {
		return nil
	}
	steps := max(1, int(math.Ceil(float64(length/elevation.Step))))
	out := make([]geo.Metres, 0, steps+1)
	gone := geo.Metres(0)
	for i := a.index; i <= b.index; i++ {
		from, to := d.extent(i, a, b)
		s := d.Segments[i]
		p, ok := d.w.Network().Profile(s.Stretch())
		if !ok {
			return nil
		}
		for len(out) <= steps {
			at := from + length*geo.Metres(len(out))/geo.Metres(steps) - gone
			if at > to && i < b.index {
				break
			}
			at = min(at, to)
			if !s.Forward() {
				at = d.w.Network().Length(s.Stretch()) - at
			}
			h := heightAt(p, at)
			if math.IsNaN(float64(h)) {
				return nil
			}
			out = append(out, h)
		}
		gone += to - from
	}
	return out
}

// heightAt is the height between two of a profile's, straight.
func heightAt(p elevation.Profile, along geo.Metres) geo.Metres {
	k := min(max(float64(along/p.Step), 0), float64(len(p.Heights)-1))
	i := min(int(k), len(p.Heights)-2)
	t := k - float64(i)
	return geo.Metres(p.Heights[i]*(1-t) + p.Heights[i+1]*t)
}
