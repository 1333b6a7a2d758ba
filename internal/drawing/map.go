package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
)

// mapper draws one map.
type mapper struct {
	pen
	frame
	layout layout
	c      *circuit.Circuit
	drive  [][]point // by leg, as drawn
}

// Map draws the circuit on paper of a size in millimetres: the roads around by
// their class with their names, the drive with its arrows and the numbers of
// its steps, the roads to judge by their verdict, where the car stands, the
// practice place and its backups. No word or number overlaps another.
// A circuit with more than a lesson can have is an error, since it would take
// too long to lay out.
func Map(c *circuit.Circuit, width, height float64) (SVG, error) {
	if err := drawable(c); err != nil {
		return "", err
	}
	m := &mapper{frame: frameOf(c, width, height, 11), c: c}
	m.layout = layout{width: width, height: height}
	m.buildings()
	m.roads()
	m.judged()
	m.waysToBackups()
	m.theDrive()
	m.scaleAndNorth()
	m.places()
	m.letters()
	m.numbers()
	m.names()
	m.put(`<rect x="0.15" y="0.15" width="%s" height="%s" stroke="%s" stroke-width="0.3"/>`+"\n", number(width-0.3), number(height-0.3), inkQuiet)
	title := fmt.Sprintf("Map of the drive, %.1f kilometres, north up", c.LengthM/1000)
	if len(c.Examples) > 0 {
		title += fmt.Sprintf(", %d roads to judge", len(c.Examples))
	}
	for _, p := range c.Practices() {
		title += ", a place to practise in " + p.Road
	}
	title += ". The list of directions says the same in words."
	return wrap(width, height, "map", title, m.String()), nil
}

// drawable bounds what a map is drawn of: some ten times what two hours have.
func drawable(c *circuit.Circuit) error {
	points, places := 0, len(c.PullUps)+len(c.Examples)+len(c.Backups)+len(c.SecondBackups)
	for _, l := range c.Legs {
		points += len(l.Line)
	}
	for _, b := range []struct {
		have, most int
		what       string
	}{{points, 50_000, "positions on its drive"}, {len(c.Steps), 1_000, "directions"}, {places, 300, "stops and roads to judge"}, {len(c.Around), 30_000, "roads around it"}, {len(c.Buildings), 3_000, "buildings around it"}} {
		if b.have > b.most {
			return fmt.Errorf("the circuit has %d %s; a map shows at most %d", b.have, b.what, b.most)
		}
	}
	return nil
}

// look is how a class of road is drawn.
type look struct {
	rank  int // greater is drawn above
	width float64
	ink   string
}

// looks are by OpenStreetMap's class; links look like their road. Four widths
// and three greys of one family: the map is the ground, the drive stands out.
var looks = map[string]look{
	"motorway": {5, 2.2, "#c2bbac"}, "trunk": {5, 2.2, "#c2bbac"}, "primary": {5, 2.2, "#c2bbac"},
	"secondary": {4, 1.8, "#c9c3b5"}, "tertiary": {3, 1.4, "#cfcabe"},
	"unclassified": {2, 1.0, "#d9d5ca"}, "residential": {2, 1.0, "#d9d5ca"}, "living_street": {2, 1.0, "#d9d5ca"},
}

var otherLook = look{1, 0.5, "#dedbd3"}

func lookOf(class string) look {
	if l := len(class) - len("_link"); l > 0 && class[l:] == "_link" {
		class = class[:l]
	}
	if l, ok := looks[class]; ok {
		return l
	}
	return otherLook
}

// buildings are drawn as one sees them from above, with no more ink than they
// need to be found.
func (m *mapper) buildings() {
	for _, b := range m.c.Buildings {
		if line := m.frame.line(orb.LineString(b.Outline)); len(line) > 2 && m.seen(line) {
			m.put(`<path class="building" d="%sZ" fill="%s" stroke="%s" stroke-width="0.15"/>`+"\n", points(line), inkBuilding, inkQuiet)
		}
	}
}

func (m *mapper) roads() {
	around := slices.Clone(m.c.Around)
	slices.SortStableFunc(around, func(a, b circuit.Road) int { return cmp.Compare(lookOf(a.Class).rank, lookOf(b.Class).rank) })
	m.put("<g stroke-linecap=\"round\" stroke-linejoin=\"round\">\n")
	for _, r := range around {
		if line := m.frame.line(r.Line); len(line) > 1 && m.seen(line) {
			l := lookOf(r.Class)
			m.put(`<path d="%s" stroke="%s" stroke-width="%s"/>`+"\n", points(line), l.ink, number(l.width))
		}
	}
	m.put("</g>\n")
}

// seen says whether some of a line may lie on the paper.
func (m *mapper) seen(line []point) bool {
	low, high := line[0], line[0]
	for _, p := range line {
		low = point{math.Min(low.x, p.x), math.Min(low.y, p.y)}
		high = point{math.Max(high.x, p.x), math.Max(high.y, p.y)}
	}
	return high.x >= 0 && high.y >= 0 && low.x <= m.width && low.y <= m.height
}

// judged draws the roads to judge and the practice place as bands under the
// drive: dashed where the road will not do.
func (m *mapper) judged() {
	band := func(line []point, ink, dashes string) {
		if len(line) > 1 {
			m.put(`<path d="%s" stroke="%s" stroke-width="4" stroke-opacity="0.35" stroke-linejoin="round"%s/>`+"\n", points(line), ink, dashes)
		}
	}
	for _, e := range m.c.Examples {
		s := signOf(e.Verdict)
		band(m.frame.line(e.Line), s.ink, s.dashes)
	}
	for _, p := range m.c.Practices() {
		band(m.frame.line(p.Line), inkPlace, "")
		for _, b := range p.Backups {
			band(m.frame.line(b.Line), inkPlace, ` stroke-dasharray="0.7 0.7"`)
		}
	}
}

func (m *mapper) waysToBackups() {
	for _, b := range slices.Concat(m.c.Backups, m.c.SecondBackups) {
		if b.Way == nil {
			continue
		}
		if line := m.frame.line(b.Way.Line); len(line) > 1 {
			m.put(`<path d="%s" stroke="%s" stroke-width="0.5" stroke-dasharray="0.1 1.1" stroke-linecap="round"/>`+"\n", points(line), inkPlace)
		}
	}
}

// keepsRight is -1 where the country drives on the left.
func keepsRight(c *circuit.Circuit) float64 {
	if p, err := country.ByCode(c.Request.Country); err == nil && p.DrivesLeft {
		return -1
	}
	return 1
}

// theDrive draws the drive on its side of the road, so that there and back
// again are two lines; where the instructor drives it is dashed.
func (m *mapper) theDrive() {
	const aside = 0.65
	for _, l := range m.c.Legs {
		m.drive = append(m.drive, shifted(m.frame.line(l.Line), aside*keepsRight(m.c)))
	}
	stroke := func(ink string, width float64) {
		for i, line := range m.drive {
			dashes := ""
			if m.c.Legs[i].Driver == circuit.Instructor {
				dashes = ` stroke-dasharray="2.2 1.2"`
			}
			m.put(`<path class="drive" d="%s" stroke="%s" stroke-width="%s" stroke-linejoin="round"%s/>`+"\n", points(line), ink, number(width), dashes)
		}
	}
	stroke("#fff", 1.5)
	stroke(inkDrive, 0.85)
	const apart = 16
	next := apart / 2.0
	for _, line := range m.drive {
		total := length(line)
		at := next
		for ; at < total; at += apart {
			m.arrow(along(line, at))
		}
		next = at - total
	}
}

// arrow is a dart on the drive that points along it.
func (m *mapper) arrow(at, u point) {
	n := u.left()
	tip, back := at.add(u.times(1.5)), at.sub(u.times(1.2))
	m.put(`<path class="arrow" d="%sZ" fill="%s" stroke="#fff" stroke-width="0.25"/>`+"\n",
		points([]point{tip, back.add(n.times(1.25)), at.sub(u.times(0.5)), back.sub(n.times(1.25))}), inkDrive)
}

// scaleAndNorth draws the scale bar, the north arrow and whose data it is, and
// keeps their room free.
func (m *mapper) scaleAndNorth() {
	const size = Points(7)
	metres := 1.0
	for _, step := range []float64{10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000} {
		if step*m.scale <= math.Min(32, m.width/6) {
			metres = step
		}
	}
	words := number(metres) + " m"
	if metres >= 1000 {
		words = number(metres/1000) + " km"
	}
	width := metres * m.scale
	x, y := m.width-4-width, m.height-4.0
	m.layout.take(box{point{m.width - 11, m.height - 4.5}, point{1, 0}, math.Max(width, 12) + 34, 9})
	m.put(`<path class="scale" d="M%s %sv1.2h%sv-1.2" stroke="%s" stroke-width="0.35"/>`+"\n", number(x), number(y), number(width), inkText)
	m.words(upright(point{x - 2 - Width(words, size, false)/2, y + 0.4}, 0, 0), words, size, false, inkText, "scale")
	north := point{m.width - 6, m.height - 8.5}
	m.layout.take(upright(north, 8, 8))
	m.put(`<path d="M%s %sl1.4 4.4l-1.4 -1l-1.4 1z" fill="%s"/>`+"\n", number(north.x), number(north.y-3.5), inkText)
	m.words(upright(point{north.x, north.y + 2.3}, 0, 0), "N", size, true, inkText, "scale")
	credit, room := m.c.Attribution, m.width-width-26
	if whose, _, ok := strings.Cut(credit, ", "); ok && Width(credit, size, false) > room {
		credit = whose // the page has it in full
	}
	credit = Cut(credit, size, false, room)
	b := upright(point{3 + Width(credit, size, false)/2, m.height - 3}, Width(credit, size, false), size.MM()*1.3)
	m.put(`<rect x="%s" y="%s" width="%s" height="%s" fill="#fff" fill-opacity="0.85"/>`+"\n", number(b.at.x-b.width/2-1), number(b.at.y-b.height/2), number(b.width+2), number(b.height))
	m.words(b, credit, size, false, inkText, "credit")
	m.layout.take(b.grown(0.6))
}
