package roadnet

import (
	"math"

	"loopwright/internal/elevation"
	"loopwright/internal/geo"
)

// Heights lie in the file in whole centimetres: finer than any error of theirs.
const (
	heightErrors  = 3 * len(elevation.Lags) // to a stretch: by lag, then start, middle, end
	unknownHeight = math.MinInt32
	unknownError  = math.MaxUint16
)

// HasHeights says whether the network was given heights.
func (n *Network) HasHeights() bool { return len(n.c.HeightStart) > 0 }

// Profile is the height of the road along a stretch, forward; false where the
// network has no heights. Heights within it may still be unknown.
func (n *Network) Profile(s StretchID) (elevation.Profile, bool) {
	if !n.HasHeights() {
		return elevation.Profile{}, false
	}
	rows := n.c.HeightCm[n.c.HeightStart[s]:n.c.HeightStart[s+1]]
	if len(rows) < 2 {
		return elevation.Profile{}, false
	}
	p := elevation.Profile{Step: n.Length(s) / geo.Metres(len(rows)-1), Heights: make([]float64, len(rows))}
	for i, cm := range rows {
		if p.Heights[i] = float64(cm) / 100; cm == unknownHeight {
			p.Heights[i] = math.NaN()
		}
	}
	for k := range p.Error {
		for part := range p.Error[k] {
			cm := n.c.HeightErrorCm[heightErrors*int(s)+3*k+part]
			if p.Error[k][part] = float64(cm) / 100; cm == unknownError {
				p.Error[k][part] = math.NaN()
			}
		}
	}
	return p, true
}

// WithHeights is the same network with the heights of its stretches, one
// profile for each. It shares all else with n and is valid as long.
func (n *Network) WithHeights(profiles []elevation.Profile) *Network {
	if len(profiles) != n.NumStretches() {
		panic("bug in WithHeights: a profile for each stretch is needed")
	}
	out := &Network{c: n.c, file: n.file}
	c := &out.c
	c.HeightStart, c.HeightCm, c.HeightErrorCm = make([]uint32, 1, len(profiles)+1), nil, nil
	for _, p := range profiles {
		for _, h := range p.Heights {
			cm := int32(unknownHeight)
			if !math.IsNaN(h) {
				cm = int32(math.Round(h * 100))
			}
			c.HeightCm = append(c.HeightCm, cm)
		}
		c.HeightStart = append(c.HeightStart, uint32(len(c.HeightCm)))
		for _, lag := range p.Error {
			for _, e := range lag {
				cm := uint16(unknownError)
				if !math.IsNaN(e) {
					cm = uint16(math.Min(math.Round(e*100), unknownError-1))
				}
				c.HeightErrorCm = append(c.HeightErrorCm, cm)
			}
		}
	}
	return out
}
