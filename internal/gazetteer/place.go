package gazetteer

import (
	"fmt"
	"regexp"
	"strconv"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// nearRoad is how far from a road a point may lie.
const nearRoad geo.Metres = 200

var (
	kerbLike  = regexp.MustCompile(`^[wW][0-9]+\+`)
	pointLike = regexp.MustCompile(`^([-+]?[0-9]+(?:\.[0-9]+)?)\s*[,;\s]\s*([-+]?[0-9]+(?:\.[0-9]+)?)$`)
)

// kerb reads the name of a kerb. The car faces with the traffic that keeps to
// that side; on the other side of a one-way road it faces along the road.
func (s *seeker) kerb() (Result, bool, error) {
	if !kerbLike.MatchString(s.words) {
		return Result{}, false, nil
	}
	kerb, err := roadnet.ParseKerb(s.words)
	if err != nil {
		return Result{}, false, err
	}
	pos, side, err := s.n.LocateKerb(kerb)
	if err != nil {
		return Result{}, false, err
	}
	if side != s.drivingSide() || !s.n.Drivable(pos.Segment) {
		if other := s.n.Opposite(pos); s.n.Drivable(other.Segment) {
			pos, side = other, side.Opposite()
		}
	}
	if !s.n.Drivable(pos.Segment) {
		return Result{}, false, fmt.Errorf("kerb %s: a learner's car may not drive on %s there", kerb, RoadAt(s.n, pos))
	}
	r := s.result(pos, side)
	r.Kerb = kerb
	return r, true, nil
}

// point reads latitude and longitude, in degrees.
func (s *seeker) point() (Result, bool, error) {
	m := pointLike.FindStringSubmatch(s.words)
	if m == nil {
		return Result{}, false, nil
	}
	lat, errLat := strconv.ParseFloat(m[1], 64)
	lon, errLon := strconv.ParseFloat(m[2], 64)
	if errLat != nil || errLon != nil || lat < -90 || lat > 90 || lon < -180 || lon > 180 {
		return Result{}, false, fmt.Errorf("%q is no point on earth: give latitude, then longitude, in degrees, such as 52.6701,-0.7290", s.words)
	}
	at := orb.Point{lon, lat}
	stretch, along, _, left, ok := s.n.Nearest(at, nearRoad, s.drivable)
	if !ok {
		hint := "no road that a learner's car may drive lies within 200 m; give a point nearer to one"
		box := s.n.About().Bounds
		if !box.Contains(at) {
			hint = fmt.Sprintf("the point lies outside this map, which covers latitude %.2f to %.2f and longitude %.2f to %.2f",
				box.Min.Lat(), box.Max.Lat(), box.Min.Lon(), box.Max.Lon())
			if box.Contains(orb.Point{lat, lon}) {
				hint += fmt.Sprintf("; latitude comes first: %s,%s", m[2], m[1])
			}
		}
		return Result{}, false, &NotFound{s.words, hint}
	}
	return s.standing(stretch, along, left), true, nil
}
