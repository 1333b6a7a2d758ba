package circuit

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"
)

// position is a point in the file: longitude and latitude in degrees, always
// with seven decimals (about a centimetre), as OpenStreetMap holds them.
type position orb.Point

// e7 rounds a coordinate to 10⁻⁷ degrees.
func e7(degrees float64) int64 { return int64(math.Round(degrees * 1e7)) }

// MarshalJSON writes the two numbers.
func (p position) MarshalJSON() ([]byte, error) {
	q := orb.Point(p)
	if err := onEarth(q.Lon(), q.Lat()); err != nil {
		return nil, err
	}
	b := append(make([]byte, 0, 32), '[')
	b = appendE7(b, e7(q.Lon()))
	b = append(b, ',')
	b = appendE7(b, e7(q.Lat()))
	return append(b, ']'), nil
}

func appendE7(b []byte, v int64) []byte {
	return strconv.AppendFloat(b, float64(v)/1e7, 'f', 7, 64)
}

// UnmarshalJSON reads a position; a height after the two numbers is dropped.
func (p *position) UnmarshalJSON(b []byte) error {
	var numbers []*float64
	if err := json.Unmarshal(b, &numbers); err != nil {
		return errors.New("a position must be two numbers")
	}
	if len(numbers) < 2 || numbers[0] == nil || numbers[1] == nil {
		return errors.New("a position must be two numbers")
	}
	if err := onEarth(*numbers[0], *numbers[1]); err != nil {
		return err
	}
	*p = position{*numbers[0], *numbers[1]}
	return nil
}

// onEarth refuses what is no longitude and latitude; NaN too.
func onEarth(lon, lat float64) error {
	if !(math.Abs(lon) <= 180 && math.Abs(lat) <= 90) {
		return fmt.Errorf("longitude %g, latitude %g is not on the earth", lon, lat)
	}
	return nil
}

func positions(line orb.LineString) []position {
	out := make([]position, len(line))
	for i, p := range line {
		out[i] = position(p)
	}
	return out
}

func lineString(ps []position) orb.LineString {
	if len(ps) == 0 {
		return nil
	}
	out := make(orb.LineString, len(ps))
	for i, p := range ps {
		out[i] = orb.Point(p)
	}
	return out
}
