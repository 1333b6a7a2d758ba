package circuit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"
	_ "time/tzdata" // a file names its zone; the machine may know none

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// Decode reads a circuit file, from anyone: it is bounded in time and memory,
// and every fault is one sentence. Roles and members that it does not know are
// passed over. Features may come in any order; legs, roads to judge and steps
// are sorted by their order, the rest stays as it comes.
//
// Encode of what Decode gives is the same bytes, for bytes that Encode made.
// Whether the drive is legal, whole and on time is not asked here: see
// lesson.Check.
func Decode(b []byte) (*Circuit, error) {
	c, err := decode(bytes.TrimPrefix(b, []byte("\uFEFF")))
	if err != nil {
		return nil, fmt.Errorf("circuit file: %w", err)
	}
	return c, nil
}

func decode(b []byte) (*Circuit, error) {
	if err := withinBounds(b); err != nil {
		return nil, err
	}
	var file struct {
		Type       string
		Loopwright *json.RawMessage
		Features   []json.RawMessage
	}
	if err := unmarshal(b, &file); err != nil {
		return nil, err
	}
	if file.Type != "FeatureCollection" || file.Loopwright == nil {
		return nil, errors.New(`not a circuit: it must be a GeoJSON FeatureCollection with a member "loopwright"`)
	}
	c := &Circuit{}
	if err := c.readHeader(*file.Loopwright); err != nil {
		return nil, fmt.Errorf(`in "loopwright": %w`, err)
	}
	r := reader{c: c, seen: map[string]int{}}
	for i, f := range file.Features {
		if role, err := r.feature(f); err != nil {
			return nil, fmt.Errorf("feature %d%s: %w", i+1, inBrackets(role), err)
		}
	}
	for _, role := range []string{roleStart, rolePractice, roleFinish} {
		if n := r.seen[role]; n > 1 || n == 0 && (role != rolePractice || c.Request.Kind == RoadsToJudge) {
			return nil, fmt.Errorf("it has %d features with the role %q; a circuit has one", n, role)
		}
	}
	if n := r.seen[roleSecond]; n > 1 {
		return nil, fmt.Errorf("it has %d features with the role %q; a circuit has at most one", n, roleSecond)
	}
	if r.seen[roleLeg] == 0 {
		return nil, errors.New(`it has no feature with the role "leg"`)
	}
	slices.SortStableFunc(c.Legs, func(a, b Leg) int { return cmp.Compare(a.Order, b.Order) })
	slices.SortStableFunc(c.Examples, func(a, b Example) int { return cmp.Compare(a.Order, b.Order) })
	slices.SortStableFunc(c.Events, func(a, b Event) int { return cmp.Compare(a.Order, b.Order) })
	slices.SortStableFunc(c.WaysBack, func(a, b WayBack) int { return cmp.Compare(a.Step, b.Step) })
	slices.SortStableFunc(c.Steps, func(a, b Step) int { return cmp.Compare(a.Order, b.Order) })
	return c, nil
}

// unmarshal says where the JSON is at fault.
func unmarshal(b []byte, into any) error {
	if len(b) == 0 {
		return errors.New("coordinates or properties are missing")
	}
	err := json.Unmarshal(b, into)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fmt.Errorf("%s: not JSON: %w", placeOf(b, int(syntax.Offset)-1), err)
	case errors.As(err, &kind) && kind.Field == "":
		return fmt.Errorf("the wrong kind of value (%s)", kind.Value)
	case errors.As(err, &kind):
		return fmt.Errorf("%q has the wrong kind of value (%s)", kind.Field, kind.Value)
	}
	return err
}

func (c *Circuit) readHeader(b []byte) error {
	var format struct{ Format int }
	if err := unmarshal(b, &format); err != nil {
		return err
	}
	if format.Format != Format {
		return fmt.Errorf("format %d, and this program reads format %d: ask for a file made with the same version", format.Format, Format)
	}
	var h header
	if err := unmarshal(b, &h); err != nil {
		return err
	}
	zone, err := zoneNamed(h.Zone)
	if err != nil {
		return err
	}
	// UTC as the default, or a matching offset would take this machine's zone.
	at, err := time.ParseInLocation(time.RFC3339, h.StartsAt, time.UTC)
	if err != nil || at.Year() < firstYear {
		return fmt.Errorf("starts_at %q is not a time such as 2027-03-04T10:00:00Z", h.StartsAt)
	}
	for _, row := range h.Timeline {
		if err := inRange(span("at_s", row.AtS), span("minutes", row.Minutes)); err != nil {
			return fmt.Errorf("timeline: %w", err)
		}
	}
	if err := inRange(span("drive_s", h.DriveS), length("length_m", h.LengthM), span("minutes", h.Request.Minutes)); err != nil {
		return err
	}
	h.MadeFrom.Timestamp = h.MadeFrom.Timestamp.UTC()
	c.MadeFrom, c.Request, c.StartsAt, c.Zone = h.MadeFrom, h.Request, at.In(zone), h.Zone
	c.Timeline, c.DriveS, c.LengthM, c.Bound, c.NoBound = some(h.Timeline), h.DriveS, h.LengthM, h.Bound, h.NoBound
	c.Attribution, c.Cautions = h.Attribution, some(h.Cautions)
	if h.Sent != "" && h.Sent != ForCover && h.Sent != ForAnyone {
		return fmt.Errorf("sent_for %q is neither %s nor %s", h.Sent, ForCover, ForAnyone)
	}
	c.Sent, c.Learner, c.Choice = h.Sent, h.Learner, h.Choice
	return nil
}

// firstYear is the first of a lesson: before, some zones were off by seconds,
// which RFC 3339 can't write, and no map is as old.
const firstYear = 2000

// zoneNamed is the IANA zone; never the machine's own.
func zoneNamed(name string) (*time.Location, error) {
	if name != "" && name != "Local" {
		if zone, err := time.LoadLocation(name); err == nil {
			return zone, nil
		}
	}
	return nil, fmt.Errorf("zone %q is not a time zone such as Europe/London", name)
}

// reader puts features where they belong and counts the roles.
type reader struct {
	c    *Circuit
	seen map[string]int
}

type rawFeature struct {
	Type     string
	Geometry struct {
		Type        string
		Coordinates json.RawMessage
	}
	Properties json.RawMessage
}

func (r *reader) feature(b []byte) (role string, err error) {
	var f rawFeature
	if err := unmarshal(b, &f); err != nil {
		return "", err
	}
	var p struct{ Role any }
	if len(f.Properties) > 0 {
		if err := unmarshal(f.Properties, &p); err != nil {
			return "", err
		}
	}
	role, _ = p.Role.(string)
	switch role {
	case roleLeg:
		err = r.leg(f)
	case roleExample:
		err = r.example(f)
	case roleStart, roleFinish, rolePullUp:
		err = r.stop(role, f)
	case rolePractice, roleBackup, roleSecond, roleSecondBy:
		err = r.practice(role, f)
	case roleEvent:
		err = r.event(f)
	case roleStep:
		err = r.step(f)
	case roleWayBack:
		err = r.wayBack(f)
	case roleAround:
		err = r.around(f)
	default:
		return "", nil
	}
	r.seen[role]++
	return role, err
}

func (r *reader) leg(f rawFeature) error {
	var p legProperties
	line, err := f.line(&p)
	if err != nil {
		return err
	}
	if p.Driver != Learner && p.Driver != Instructor {
		return fmt.Errorf("driver %q is neither %s nor %s", p.Driver, Learner, Instructor)
	}
	r.c.Legs = append(r.c.Legs, Leg{
		Order: p.Order, Line: line, Ways: some(p.Ways), Roads: some(p.Roads), LengthM: p.LengthM, DriveS: p.DriveS, Driver: p.Driver, AtS: p.AtS, Heights: some(p.Heights),
	})
	if len(p.Heights) == 1 {
		return errors.New("one height alone says nothing of a leg")
	}
	for _, h := range p.Heights {
		if err := inRange(ranged{"heights_m", float64(h), lowestRoad, highestRoad}); err != nil {
			return err
		}
	}
	return inRange(span("at_s", p.AtS), span("drive_s", p.DriveS), length("length_m", p.LengthM))
}

func (r *reader) example(f rawFeature) error {
	var p exampleProperties
	line, err := f.line(&p)
	if err != nil {
		return err
	}
	r.c.Examples = append(r.c.Examples, Example{
		Order: p.Order, Line: line, AtS: p.AtS, Verdict: p.Verdict, Reason: p.Reason, Road: p.Road, Chance: p.Chance, Findings: some(p.Findings), Key: p.Key, Kerb: p.Kerb, Alike: p.Alike,
	})
	return cmp.Or(inRange(span("at_s", p.AtS), chance("chance", p.Chance)), findingsInRange(p.Findings))
}

func (r *reader) stop(role string, f rawFeature) error {
	var p stopProperties
	at, err := f.point(&p)
	if err != nil {
		return err
	}
	s, err := p.stop(at)
	if err != nil {
		return err
	}
	switch role {
	case roleStart:
		r.c.Start = s
	case roleFinish:
		r.c.Finish = s
	default:
		r.c.PullUps = append(r.c.PullUps, s)
	}
	return nil
}

func (p stopProperties) stop(at orb.Point) (Stop, error) {
	if p.Side != "left" && p.Side != "right" {
		return Stop{}, fmt.Errorf("side %q is neither left nor right", p.Side)
	}
	return Stop{
		At: at, Kerb: p.Kerb, Road: p.Road, Side: p.Side, FacesDeg: p.FacesDeg, Towards: p.Towards, AtS: p.AtS, Minutes: p.Minutes, What: p.What, ChangeOver: p.ChangeOver,
	}, inRange(heading("faces_deg", p.FacesDeg), span("at_s", p.AtS), span("minutes", p.Minutes))
}

func (r *reader) practice(role string, f rawFeature) error {
	var p practiceProperties
	at, err := f.point(&p)
	if err != nil {
		return err
	}
	s, err := p.stop(at)
	if err != nil {
		return err
	}
	if p.Exercise == "" {
		return errors.New("a place to practise needs an exercise")
	}
	if p.Goes < 0 || p.Goes > 100 {
		return fmt.Errorf("goes: %d is out of range", p.Goes)
	}
	place := Practice{
		Stop: s, Exercise: p.Exercise, Goes: p.Goes, FacesAfterDeg: p.FacesAfterDeg, Verdict: p.Verdict,
		Chance: p.Chance, MapFit: p.MapFit, Findings: some(p.Findings), Line: lineString(p.Window), Late: p.Late,
	}
	if l := p.Late; l != nil && (l.Goes < 0 || l.Goes >= p.Goes || !(l.Minutes > 0)) {
		return fmt.Errorf("late: %d of %d goes win back no minutes", l.Goes, p.Goes)
	}
	if t := p.WayThere; t != nil {
		if err := inRange(span("way_there drive_s", t.DriveS), length("way_there length_m", t.LengthM)); err != nil {
			return err
		}
		way := t.leg()
		place.Way = &way
	}
	if t := p.WayRound; t != nil {
		if len(t.Line) < 2 {
			return fmt.Errorf("way_round: a line needs two points or more, it has %d", len(t.Line))
		}
		if err := cmp.Or(movesInRange(t.Moves), inRange(span("way_round drive_s", t.DriveS), length("way_round length_m", t.LengthM))); err != nil {
			return err
		}
		place.Round = &Round{Leg: t.leg(), Say: t.Say, Moves: known(t.Moves)}
	}
	switch role {
	case rolePractice:
		r.c.Practice = place
	case roleBackup:
		r.c.Backups = append(r.c.Backups, place)
	case roleSecond:
		r.c.Second = &place
	default:
		r.c.SecondBackups = append(r.c.SecondBackups, place)
	}
	return cmp.Or(
		inRange(heading("faces_after_deg", p.FacesAfterDeg), chance("chance", p.Chance), chance("map_fit", p.MapFit)),
		findingsInRange(p.Findings))
}

func (t *wayThere) leg() Leg {
	return Leg{Line: lineString(t.Line), Ways: some(t.Ways), Roads: some(t.Roads), LengthM: t.LengthM, DriveS: t.DriveS}
}

func (r *reader) event(f rawFeature) error {
	var p eventProperties
	at, err := f.point(&p)
	if err != nil {
		return err
	}
	r.c.Events = append(r.c.Events, Event{
		Order: p.Order, At: at, AtS: p.AtS, Topic: p.Topic, Road: p.Road, Chance: p.Chance, Evidence: p.Evidence, Source: p.Source,
	})
	return inRange(span("at_s", p.AtS), chance("chance", p.Chance))
}

func (r *reader) step(f rawFeature) error {
	var p stepProperties
	at, err := f.point(&p)
	if err != nil {
		return err
	}
	r.c.Steps = append(r.c.Steps, Step{
		Order: p.Order, At: at, AtS: p.AtS, Say: p.Say, Alert: p.Alert, Direction: p.Direction, Where: p.Where, DistanceM: geo.Metres(p.DistanceM), Kind: p.Kind, Moves: known(p.Moves),
	})
	return cmp.Or(movesInRange(p.Moves), inRange(span("at_s", p.AtS), length("distance_m", p.DistanceM)))
}

func (r *reader) wayBack(f rawFeature) error {
	var p wayBackProperties
	line, err := f.line(&p)
	r.c.WaysBack = append(r.c.WaysBack, WayBack{Step: p.Step, Line: line, Say: p.Say, Moves: known(p.Moves)})
	return cmp.Or(err, movesInRange(p.Moves))
}

// around reads a road or a building; other kinds of things around are passed
// over.
func (r *reader) around(f rawFeature) error {
	var kind struct{ Kind string }
	if err := unmarshal(f.Properties, &kind); err != nil {
		return err
	}
	switch kind.Kind {
	case kindRoad:
		return r.road(f)
	case kindBuilding:
		outline, err := f.outline()
		r.c.Buildings = append(r.c.Buildings, Building{Outline: outline})
		return err
	default:
		return nil
	}
}

func (r *reader) road(f rawFeature) error {
	var p roadProperties
	line, err := f.line(&p)
	r.c.Around = append(r.c.Around, Road{Name: p.Name, Class: p.Class, Line: line})
	return err
}

func (f rawFeature) point(properties any) (orb.Point, error) {
	if f.Geometry.Type != "Point" {
		return orb.Point{}, fmt.Errorf("its geometry must be a Point, not %q", f.Geometry.Type)
	}
	var p position
	if err := unmarshal(f.Geometry.Coordinates, &p); err != nil {
		return orb.Point{}, err
	}
	return orb.Point(p), unmarshal(f.Properties, properties)
}

func (f rawFeature) line(properties any) (orb.LineString, error) {
	var parts [][]position
	switch f.Geometry.Type {
	case "LineString":
		parts = make([][]position, 1)
		if err := unmarshal(f.Geometry.Coordinates, &parts[0]); err != nil {
			return nil, err
		}
	case "MultiLineString":
		if err := unmarshal(f.Geometry.Coordinates, &parts); err != nil {
			return nil, err
		}
	default:
		return nil, fmt.Errorf("its geometry must be a LineString, not %q", f.Geometry.Type)
	}
	line := lineString(join(parts))
	if len(line) < 2 {
		return nil, fmt.Errorf("a line needs two points or more, it has %d", len(line))
	}
	return line, unmarshal(f.Properties, properties)
}

// outline is the outer ring of an area.
func (f rawFeature) outline() (orb.Ring, error) {
	if f.Geometry.Type != "Polygon" {
		return nil, fmt.Errorf("its geometry must be a Polygon, not %q", f.Geometry.Type)
	}
	var rings [][]position
	if err := unmarshal(f.Geometry.Coordinates, &rings); err != nil {
		return nil, err
	}
	if len(rings) == 0 || len(rings[0]) < 4 || rings[0][0] != rings[0][len(rings[0])-1] {
		return nil, errors.New("an outline needs four points or more, the last of them the first")
	}
	return orb.Ring(lineString(rings[0])), nil
}

// some is the slice, or nil where it is empty: the form that Circuit uses.
func some[T any](s []T) []T {
	if len(s) == 0 {
		return nil
	}
	return s
}

func inBrackets(role string) string {
	if role == "" {
		return ""
	}
	return " (" + role + ")"
}
