package circuit

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"loopwright/internal/geo"

	"github.com/paulmach/orb"
)

// Encode writes the circuit file. The same circuit gives the same bytes: legs,
// roads to judge, the stops in order of their kind, steps, ways back, roads
// and buildings around, one feature a line.
//
// Positions are held to 10⁻⁷ degrees, times to a millisecond, lengths to a
// centimetre, headings to a tenth of a degree, minutes to a hundredth;
// findings and chances are written as they are, since verdicts hang on them.
// It is an error if a number is not finite, a position is off the earth or a
// line has fewer than two points.
func Encode(c *Circuit) ([]byte, error) {
	w := &writer{}
	for _, l := range c.Legs {
		w.line(l.Line, legProperties{
			Role: roleLeg, Order: l.Order, AtS: seconds(l.AtS), LengthM: metres(l.LengthM), DriveS: seconds(l.DriveS),
			Driver: l.Driver, Roads: list(l.Roads), Ways: list(l.Ways), Heights: heights(l.Heights), style: legStyle(l),
		})
	}
	for _, e := range c.Examples {
		w.line(e.Line, exampleProperties{
			Role: roleExample, Order: e.Order, AtS: seconds(e.AtS), Verdict: e.Verdict, Reason: e.Reason,
			Road: e.Road, Chance: e.Chance, Findings: list(e.Findings), Key: e.Key, Kerb: e.Kerb, Alike: e.Alike, style: exampleStyle(e),
		})
	}
	w.stop(roleStart, c.Start)
	for _, s := range c.PullUps {
		w.stop(rolePullUp, s)
	}
	if c.Practises() {
		w.practice(rolePractice, c.Practice)
	}
	for _, b := range c.Backups {
		w.practice(roleBackup, b)
	}
	if c.Second != nil {
		w.practice(roleSecond, *c.Second)
	}
	for _, b := range c.SecondBackups {
		w.practice(roleSecondBy, b)
	}
	w.stop(roleFinish, c.Finish)
	for _, e := range c.Events {
		w.point(e.At, eventProperties{
			Role: roleEvent, Order: e.Order, AtS: seconds(e.AtS), Topic: e.Topic, Road: e.Road, Chance: e.Chance, Evidence: e.Evidence,
			Source: e.Source, style: eventStyle(e),
		})
	}
	for _, s := range c.Steps {
		w.point(s.At, stepProperties{
			Role: roleStep, Order: s.Order, AtS: seconds(s.AtS), Say: s.Say, DistanceM: metres(float64(s.DistanceM)),
			Kind: s.Kind, Alert: s.Alert, Direction: s.Direction, Where: s.Where, Moves: s.Moves, style: stepStyle(s),
		})
	}
	for _, b := range c.WaysBack {
		w.line(b.Line, wayBackProperties{Role: roleWayBack, Step: b.Step, Say: b.Say, Moves: b.Moves, style: wayBackStyle(b)})
	}
	for _, r := range c.Around {
		w.line(r.Line, roadProperties{Role: roleAround, Kind: kindRoad, Name: r.Name, Class: r.Class, style: roadStyle(r)})
	}
	for _, b := range c.Buildings {
		w.area(b.Outline, buildingProperties{Role: roleAround, Kind: kindBuilding, style: buildingStyle})
	}
	if w.err != nil {
		return nil, w.err
	}
	head, err := marshal(headerOf(c))
	if err != nil {
		return nil, fmt.Errorf("circuit: %w", err)
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "{\"type\":\"FeatureCollection\",\n\"bbox\":%s,\n\"loopwright\":%s,\n\"features\":[\n%s\n]}\n",
		boxText(box(w.points)), head, bytes.Join(w.features, []byte(",\n")))
	return out.Bytes(), nil
}

func headerOf(c *Circuit) header {
	h := header{
		Format: Format, MadeFrom: c.MadeFrom, Request: c.Request, StartsAt: c.StartsAt.Format(time.RFC3339), Zone: c.Zone,
		Timeline: []Row{}, DriveS: seconds(c.DriveS), LengthM: metres(c.LengthM), Bound: c.Bound, NoBound: c.NoBound,
		Attribution: c.Attribution, Cautions: list(c.Cautions), Sent: c.Sent, Learner: c.Learner, Choice: c.Choice,
	}
	h.MadeFrom.Timestamp = h.MadeFrom.Timestamp.UTC()
	for _, r := range c.Timeline {
		h.Timeline = append(h.Timeline, Row{AtS: seconds(r.AtS), What: r.What, Minutes: minutes(r.Minutes)})
	}
	return h
}

// writer collects features, the points that they cover, and the first error.
type writer struct {
	features [][]byte
	points   []position
	err      error
}

// geometry is a Point, LineString, MultiLineString or Polygon.
type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

func (w *writer) stop(role string, s Stop) {
	w.point(s.At, plainStopProperties{stopOf(role, s), stopStyle(role, s)})
}

func (w *writer) practice(role string, p Practice) {
	w.point(p.At, practiceProperties{
		stopProperties: stopOf(role, p.Stop), Exercise: p.Exercise, Goes: p.Goes, FacesAfterDeg: degrees(p.FacesAfterDeg),
		Verdict: p.Verdict, Chance: p.Chance, MapFit: p.MapFit, Window: positions(p.Line), WayThere: wayThereOf(p.Way), WayRound: wayRoundOf(p.Round), Late: p.Late, Findings: list(p.Findings),
		style: stopStyle(role, p.Stop),
	})
	w.points = append(w.points, positions(p.Line)...)
	if p.Way != nil {
		w.points = append(w.points, positions(p.Way.Line)...)
	}
	if p.Round != nil {
		w.points = append(w.points, positions(p.Round.Line)...)
	}
}

func wayThereOf(l *Leg) *wayThere {
	if l == nil {
		return nil
	}
	return &wayThere{LengthM: metres(l.LengthM), DriveS: seconds(l.DriveS), Roads: list(l.Roads), Ways: list(l.Ways), Line: positions(l.Line)}
}

func wayRoundOf(r *Round) *wayRound {
	if r == nil {
		return nil
	}
	return &wayRound{wayThere: *wayThereOf(&r.Leg), Say: r.Say, Moves: r.Moves}
}

func stopOf(role string, s Stop) stopProperties {
	return stopProperties{
		Role: role, Kerb: s.Kerb, Road: s.Road, Side: s.Side, FacesDeg: degrees(s.FacesDeg), Towards: s.Towards,
		AtS: seconds(s.AtS), Minutes: minutes(s.Minutes), What: s.What, ChangeOver: s.ChangeOver,
	}
}

func (w *writer) point(at orb.Point, properties any) {
	w.points = append(w.points, position(at))
	w.add(geometry{"Point", position(at)}, properties)
}

func (w *writer) line(l orb.LineString, properties any) {
	if len(l) < 2 && w.err == nil {
		w.err = fmt.Errorf("circuit: feature %d: a line needs two points or more, it has %d", len(w.features)+1, len(l))
		return
	}
	w.points = append(w.points, positions(l)...)
	if parts := cut(positions(l)); len(parts) > 1 {
		w.add(geometry{"MultiLineString", parts}, properties)
		return
	}
	w.add(geometry{"LineString", positions(l)}, properties)
}

// area is a closed ring of four positions or more, as RFC 7946 has it.
func (w *writer) area(r orb.Ring, properties any) {
	if (len(r) < 4 || !r.Closed()) && w.err == nil {
		w.err = fmt.Errorf("circuit: feature %d: an outline needs four points or more, the last of them the first", len(w.features)+1)
		return
	}
	outline := positions(orb.LineString(r))
	w.points = append(w.points, outline...)
	w.add(geometry{"Polygon", [][]position{outline}}, properties)
}

func (w *writer) add(g geometry, properties any) {
	if w.err != nil {
		return
	}
	b, err := marshal(struct {
		Type       string   `json:"type"`
		Geometry   geometry `json:"geometry"`
		Properties any      `json:"properties"`
	}{"Feature", g, properties})
	if err != nil {
		w.err = fmt.Errorf("circuit: feature %d: %w", len(w.features)+1, err)
	}
	w.features = append(w.features, b)
}

// marshal is JSON on one line, with &, < and > as themselves.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	if !utf8.Valid(b.Bytes()) {
		return nil, fmt.Errorf("text that is not UTF-8")
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

func boxText(b []float64) string {
	parts := make([]string, len(b))
	for i, v := range b {
		parts[i] = string(appendE7(nil, e7(v)))
	}
	return "[" + strings.Join(parts, ",") + "]"
}

// list is the slice itself, or an empty one: the file has no null.
func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

func rounded(v, per float64) float64 { return math.Round(v*per) / per }

// heights are held to a decimetre: their error is more.
func heights(all []geo.Metres) []geo.Metres {
	out := make([]geo.Metres, len(all))
	for i, h := range all {
		out[i] = geo.Metres(rounded(float64(h), 10))
	}
	return out
}

func seconds(v float64) float64 { return rounded(v, 1000) }
func metres(v float64) float64  { return rounded(v, 100) }
func minutes(v float64) float64 { return rounded(v, 100) }

// degrees is a heading in [0, 360).
func degrees(v float64) float64 {
	d := rounded(math.Mod(math.Mod(v, 360)+360, 360), 10)
	if d == 360 {
		return 0
	}
	return d
}
