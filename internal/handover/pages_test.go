package handover_test

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/drawing"
	"loopwright/internal/geo"
	"loopwright/internal/handover"
	"loopwright/internal/lesson"
)

// pages are the three that are printed.
var pages = []struct {
	name string
	make func(*circuit.Circuit) ([]byte, error)
}{{"card", handover.Card}, {"sheet", handover.Sheet}, {"learner-card", handover.LearnerCard}}

// lessons are circuits of every kind in the invented town: every exercise that can
// be planned, and every other kind of lesson, from two homes in turn, of half an
// hour to two hours.
var lessons = sync.OnceValues(func() ([]*circuit.Circuit, error) {
	d, err := desk.OpenDemo(context.Background(), nil)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	var all []*circuit.Circuit
	one := 1
	for i, r := range requests() {
		r.From, r.When, r.Seed = []string{"Eastlands Road & Saxmoor Road", "Upper Road & Ferry Road"}[i%2], "2027-03-04 10:00", 1
		p, err := d.Plan(r)
		var f *desk.Fault
		if errors.As(err, &f) && f.Kind == desk.AnswerIsNo && r.Kind == "" {
			r.Unsuitable, r.Suitable = &one, &one
			p, err = d.Plan(r)
		}
		if errors.As(err, &f) && f.Kind == desk.AnswerIsNo {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s %s from %s: %w", r.Kind, r.Exercise, r.From, err)
		}
		// As a colleague has it, who has only the file.
		c, err := circuit.Decode(p.File)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
})

// requests are what lessons are planned from; where they begin is filled in.
func requests() []desk.PlanRequest {
	const centre = "Station Road & East Street"
	var out []desk.PlanRequest
	for j, ex := range assess.Exercises() {
		out = append(out, desk.PlanRequest{Exercise: ex.Name, Minutes: float64(60 + 30*(j%3))})
	}
	first := &circuit.LearnerRecord{Reference: "OT-11", Level: "first-drives"}
	return append(out,
		desk.PlanRequest{Exercise: "turn-in-the-road", Minutes: 30},
		desk.PlanRequest{Exercise: "turn-in-the-road", Minutes: 60},
		desk.PlanRequest{Exercise: "parallel-park", Minutes: 60},
		desk.PlanRequest{Exercise: "moving-off", Minutes: 60, Learner: first},
		desk.PlanRequest{Exercise: "moving-off", Minutes: 120, Learner: first},
		desk.PlanRequest{Exercise: "turn-in-the-road", Minutes: 60, DriveOut: true},
		desk.PlanRequest{Exercise: "turn-in-the-road", Minutes: 120, DriveOut: true},
		desk.PlanRequest{Kind: "junctions", Minutes: 60, Wishes: []string{"at least four mini-roundabouts"}},
		desk.PlanRequest{Kind: "junctions", Minutes: 60, Wishes: []string{"four emerging"}},
		desk.PlanRequest{Kind: "junctions", Minutes: 60, Wishes: []string{"four emerging"}},
		desk.PlanRequest{Kind: "junctions", Minutes: 120, Wishes: []string{"four emerging"}},
		desk.PlanRequest{Kind: "mock-test", Minutes: 60},
		desk.PlanRequest{Kind: "mock-test", Minutes: 90},
		desk.PlanRequest{Kind: "test-day", Minutes: 60, To: centre},
		desk.PlanRequest{Kind: "test-day", Minutes: 90, To: centre},
		desk.PlanRequest{Kind: "two-exercises", Exercise: "turn-in-the-road", Second: "parallel-park", Minutes: 60},
		desk.PlanRequest{Kind: "two-exercises", Exercise: "bay-park-reverse", Second: "pull-up-right", Minutes: 120},
	)
}

// printedOf are the pages that a lesson has: without an exercise, no learner's
// card.
func printedOf(c *circuit.Circuit) []int {
	if !c.Practises() {
		return []int{0, 1}
	}
	return []int{0, 1, 2}
}

func lessonsOf(t testing.TB) []*circuit.Circuit {
	t.Helper()
	all, err := lessons()
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[circuit.Kind]bool{}
	for _, c := range all {
		kinds[c.Request.Kind] = true
	}
	if len(all) < 25 || len(kinds) < 5 {
		t.Fatalf("only %d lessons of %d kinds could be planned", len(all), len(kinds))
	}
	return all
}

func named(c *circuit.Circuit) string {
	return fmt.Sprintf("%s %s, %.0f min, from %s", c.Request.Kind, c.Practice.Exercise, c.Request.Minutes, c.Request.From)
}

func made(t testing.TB, make func(*circuit.Circuit) ([]byte, error), c *circuit.Circuit) string {
	t.Helper()
	b, err := make(c)
	if err != nil {
		t.Fatalf("%s: %v", named(c), err)
	}
	return string(b)
}

var (
	sideOf   = regexp.MustCompile(`<div class="side">`)
	lineOf   = regexp.MustCompile(`(?s)<(?:li|p) class="[^"]*\bline\b[^"]*">(.*?)</(?:li|p)>`)
	tag      = regexp.MustCompile(`<[^>]*>`)
	fontSize = regexp.MustCompile(`font(?:-size)?: ?(\d+(?:\.\d+)?)(\w+)`)
)

// words are what a line says.
func words(line string) string {
	return strings.Join(strings.Fields(tag.ReplaceAllString(line, " ")), " ")
}

// The rules of the car card: sides and lines, sizes of type, and what may not
// stand on it.
func TestCardKeepsItsRules(t *testing.T) {
	for _, c := range lessonsOf(t) {
		name, card := named(c), made(t, handover.Card, c)
		sides := sideOf.Split(card, -1)[1:]
		most := int(math.Max(2, math.Ceil(c.Request.Minutes/30)))
		if c.Request.Kind == circuit.MockTest { // many turns: as many sides as they need
			most++
		}
		if len(sides) > most {
			t.Errorf("%s: %d sides, want at most %d", name, len(sides), most)
		}
		turns, letters := 0, 0
		again := repeats(card)
		for i, side := range sides {
			lines := lineOf.FindAllStringSubmatch(side, -1)
			if len(lines) > 12 {
				t.Errorf("%s: side %d has %d lines", name, i+1, len(lines))
			}
			for _, l := range lines {
				for _, row := range regexp.MustCompile(`<(?:b|bdi)[ >].*?</(?:b|bdi)>`).FindAllString(l[1], -1) {
					if w := words(row); len([]rune(w)) > 48 {
						t.Errorf("%s: as long as a paragraph: %q", name, w)
					}
				}
				turns += len(cellOf.FindAllString(l[1], -1))
				if n := strings.Count(l[0], `class="cell judge`); n > 0 {
					letters += n
					if w := words(l[1]); !regexp.MustCompile(`(^| )[A-Z] (No: |Yes|Perhaps)`).MatchString(w) {
						t.Errorf("%s: a road to judge without its answer in words: %q", name, w)
					}
					if answer := regexp.MustCompile(`<b>((?:No: |Yes|Perhaps)[^<]*)`).FindStringSubmatch(l[1]); len(strings.Fields(strings.TrimPrefix(answer[1], "No: "))) > 4 {
						t.Errorf("%s: the answer %q is long", name, answer[1])
					}
				}
			}
		}
		for _, m := range fontSize.FindAllStringSubmatch(card, -1) {
			if v, _ := strconv.ParseFloat(m[1], 64); m[2] != "pt" || v < 14 {
				t.Errorf("%s: text of %s%s", name, m[1], m[2])
			}
		}
		seen := words(regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(card, ""))
		for _, bad := range []string{"%", "<svg class=\"profile", "<svg class=\"map", c.Start.Kerb, c.Finish.Kerb, c.Practice.Kerb, "w" + fmt.Sprint(c.Legs[0].Ways[0])} {
			if bad != "" && (strings.Contains(seen, bad) || strings.HasPrefix(bad, "<") && strings.Contains(card, bad)) {
				t.Errorf("%s: the card has %q", name, bad)
			}
		}
		if m := regexp.MustCompile(`(^|[ >])[^ >]{1,3}…`).FindString(seen); m != "" {
			t.Errorf("%s: the card has a word cut to nothing: %q", name, m)
		}
		for _, want := range wants(c) {
			if strings.Count(card, want) == 0 {
				t.Errorf("%s: the card has no %q", name, want)
			}
		}
		if want := tellings(c); turns+again != want {
			t.Errorf("%s: %d arrows, and %d again, for %d things to do", name, turns, again, want)
		}
		if strings.Contains(card, `<b class="heard"`) && float64(turns) < 0.5*c.Request.Minutes {
			t.Errorf("%s: pictures without words, for %d things to do", name, turns)
		}
		if letters != len(c.Examples) {
			t.Errorf("%s: %d roads to judge of %d", name, letters, len(c.Examples))
		}
		if strings.HasPrefix(c.Practice.Exercise, "bay-park") {
			if !strings.Contains(card, "how full not known") {
				t.Errorf("%s: the card does not say that nobody knows how full it is", name)
			}
		} else if unknown(c.Practice, "clear-width") && !strings.Contains(card, "width") {
			t.Errorf("%s: the card does not say that the width is not known", name)
		}
	}
}

// wants are the words that a card can't do without.
func wants(c *circuit.Circuit) []string {
	out := []string{"Read only when parked", "© OpenStreetMap contributors", "Home by "}
	if c.Request.Kind == circuit.TestDay {
		out[2] = "There by "
	}
	if c.Practises() {
		out = append(out, "Practise by ", "Leave by ")
	}
	if slices.ContainsFunc(c.PullUps, func(s circuit.Stop) bool { return s.ChangeOver }) {
		out = append(out, "change over", "You drive")
	}
	return out
}

// cellOf is a turn or a stop of a card.
var cellOf = regexp.MustCompile(`class="cell (turn|stop)\b`)

// repeats counts the turns that a card tells once and that are driven again: from
// "3 times round" to the stop, or to where it goes on.
func repeats(card string) int {
	n := 0
	for _, round := range regexp.MustCompile(`(?s)<b[^>]*>(\d+) times round</b>(.*?)class="cell (?:stop|again)`).FindAllStringSubmatch(card, -1) {
		times, _ := strconv.Atoi(round[1])
		n += (times - 1) * strings.Count(round[2], `class="cell turn`)
	}
	return n
}

// tellings counts what is to be done: every clause of every direction but
// moving off, told apart from the words by another rule than the card's.
func tellings(c *circuit.Circuit) int {
	verbs := regexp.MustCompile(`(?i)\b(take the|turn (?:sharp )?(?:left|right|round)|bear (?:left|right)|keep (?:left|right)|follow the (?:road|signs)|go all the way|pull up on|drive into the)\b`)
	n := 0
	for _, s := range c.Steps {
		if s.Kind != "question" && s.Kind != lesson.OwnWay { // which says what follows
			n += len(verbs.FindAllString(s.Say, -1))
		}
		if strings.Contains(s.Say, "Move off when you are ready, back the way you came") {
			n++
		}
	}
	return n
}

func unknown(p circuit.Practice, criterion string) bool {
	for _, f := range p.Findings {
		if f.Criterion == criterion {
			return f.Evidence != assess.Measured && f.Evidence != assess.Mapped
		}
	}
	return true
}

// corner is a point of a label's box.
type corner struct{ x, y float64 }

// label is a word on a map with its box.
type label struct {
	text string
	box  [4]corner
}

// labelsOf reads the words of a map, with the box of each: as wide as it is
// held to, and as high as capitals with what hangs below.
func labelsOf(t testing.TB, svg string) []label {
	t.Helper()
	place := regexp.MustCompile(`^translate\((\S+) (\S+)\)(?: rotate\((\S+)\))?$`)
	var out []label
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := d.Token()
		if token == nil {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok || e.Name.Local != "text" {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		number := func(s string) float64 {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		m := place.FindStringSubmatch(attr["transform"])
		if m == nil {
			t.Fatalf("a label at %q", attr["transform"])
		}
		turn := 0.0
		if m[3] != "" {
			turn = number(m[3]) * math.Pi / 180
		}
		sin, cos := math.Sincos(turn)
		size, x, y, width := number(attr["font-size"]), number(attr["x"]), number(attr["y"]), number(attr["textLength"])
		var text string
		if err := d.DecodeElement(&text, &e); err != nil {
			t.Fatal(err)
		}
		l := label{text: text}
		for i, c := range [4]corner{{x, y - 0.74*size}, {x + width, y - 0.74*size}, {x + width, y + 0.2*size}, {x, y + 0.2*size}} {
			l.box[i] = corner{number(m[1]) + c.x*cos - c.y*sin, number(m[2]) + c.x*sin + c.y*cos}
		}
		out = append(out, l)
	}
	return out
}

// overlap says whether two boxes do: whether no side of either has all of the
// other beyond it.
func overlap(a, b [4]corner) bool {
	parted := func(a, b [4]corner) bool {
		for i := range a {
			p, q := a[i], a[(i+1)%4]
			beyond := true
			for _, c := range b {
				if (q.x-p.x)*(c.y-p.y)-(q.y-p.y)*(c.x-p.x) > -1e-6 {
					beyond = false
				}
			}
			if beyond {
				return true
			}
		}
		return false
	}
	return !parted(a, b) && !parted(b, a)
}

func TestOverlap(t *testing.T) {
	square := func(x, y, half float64) [4]corner {
		return [4]corner{{x - half, y - half}, {x + half, y - half}, {x + half, y + half}, {x - half, y + half}}
	}
	diamond := [4]corner{{0, -3}, {3, 0}, {0, 3}, {-3, 0}}
	for _, c := range []struct {
		a, b [4]corner
		want bool
	}{{square(0, 0, 1), square(1.5, 0, 1), true}, {square(0, 0, 1), square(2.5, 0, 1), false}, {square(2.8, 2.8, 1), diamond, false}, {square(2, 2, 1), diamond, true}, {square(0, 0, 0.5), diamond, true}} {
		if got := overlap(c.a, c.b); got != c.want {
			t.Errorf("overlap(%v, %v) = %v", c.a, c.b, got)
		}
	}
}

func TestNoLabelOverlapsAnother(t *testing.T) {
	words := 0
	for _, c := range lessonsOf(t) {
		for _, size := range [][2]float64{{188, 128}, {120, 120}} {
			svg, err := drawing.Map(c, size[0], size[1])
			if err != nil {
				t.Fatal(err)
			}
			labels := labelsOf(t, string(svg))
			seen := map[string]bool{}
			for i, a := range labels {
				seen[a.text] = true
				for _, p := range a.box {
					if p.x < 0 || p.y < 0 || p.x > size[0] || p.y > size[1] {
						t.Errorf("%s: %q lies off the map", named(c), a.text)
						break
					}
				}
				for _, b := range labels[:i] {
					if overlap(a.box, b.box) {
						t.Errorf("%s, %v: %q overlaps %q", named(c), size, a.text, b.text)
					}
				}
			}
			words += len(labels)
			for i, s := range c.Examples {
				if !seen[drawing.Letter(i+1)] {
					t.Errorf("%s, %v: the road to judge in %s has no letter", named(c), size, s.Road)
				}
			}
			if last := c.Steps[len(c.Steps)-1]; last.Kind != "question" && !seen[fmt.Sprint(last.Order)] && !strings.Contains(string(svg), fmt.Sprintf("–%d<", last.Order)) {
				t.Errorf("%s, %v: the last direction has no number", named(c), size)
			}
		}
	}
	t.Logf("%d words on %d maps", words, 2*len(lessonsOf(t)))
}

// A few buildings are around each drive, each near a place to practise or a turn
// with a landmark, and on the map.
func TestBuildingsAroundALesson(t *testing.T) {
	total := 0
	for _, c := range lessonsOf(t) {
		var seen []orb.Point
		for _, p := range c.Practices() {
			seen = append(seen, p.At)
			for _, b := range p.Backups {
				seen = append(seen, b.At)
			}
		}
		for _, s := range c.Steps {
			if strings.Contains(s.Say, "just past the ") {
				seen = append(seen, c.TurnAt(s))
			}
		}
		for _, b := range c.Buildings {
			least := math.Inf(1)
			for _, at := range seen {
				for _, corner := range b.Outline {
					least = min(least, float64(geo.Distance(at, corner)))
				}
			}
			if least > 60 || b.Outline.Orientation() != orb.CCW {
				t.Errorf("%s: a building %.0f m away, turning %v", named(c), least, b.Outline.Orientation())
			}
		}
		if total += len(c.Buildings); len(c.Buildings) > 150 {
			t.Errorf("%s: %d buildings", named(c), len(c.Buildings))
		}
		if got := strings.Count(made(t, handover.Sheet, c), `class="building"`); got != len(c.Buildings) {
			t.Errorf("%s: %d buildings on the map, of %d", named(c), got, len(c.Buildings))
		}
	}
	if total < 100 {
		t.Errorf("only %d buildings around all lessons", total)
	}
}

// The legs of a drive meet, and so do their heights.
func TestHeightsMeetWhereLegsDo(t *testing.T) {
	for _, c := range lessonsOf(t) {
		for i := 1; i < len(c.Legs); i++ {
			a, b := c.Legs[i-1].Heights, c.Legs[i].Heights
			if len(a) < 2 || len(b) < 2 {
				t.Errorf("%s: leg %d has no heights", named(c), i)
				continue
			}
			if before := c.Legs[i-1].Line; before[len(before)-1] != c.Legs[i].Line[0] {
				continue // the car was reversed round a corner between them
			}
			if off := math.Abs(float64(a[len(a)-1] - b[0])); off > 0.11 { // each is held to a decimetre
				t.Errorf("%s: a step of %.1f m between legs %d and %d", named(c), off, i, i+1)
			}
		}
		if made(t, handover.Sheet, c); drawing.Heights(c, 188, 30) == "" {
			t.Errorf("%s: no profile", named(c))
		}
	}
}

func TestPagesKeepNamesAsWords(t *testing.T) {
	elements := regexp.MustCompile(`<([a-zA-Z][a-zA-Z0-9]*)`)
	allowed := regexp.MustCompile(`^(html|head|meta|title|style|body|header|main|footer|section|article|div|h[123]|p|ul|ol|li|b|i|bdi|span|svg|g|path|rect|circle|text|DOCTYPE)$`)
	for _, page := range pages {
		for _, name := range hostile {
			c := spoiled(t, name)
			c.Around = append(c.Around, circuit.Road{Name: name, Class: name, Line: c.Legs[0].Line})
			html := made(t, page.make, c)
			for _, m := range elements.FindAllStringSubmatch(html, -1) {
				if !allowed.MatchString(m[1]) {
					t.Errorf("%s with the name %.20q: an element %q", page.name, name, m[1])
				}
			}
			for _, bad := range []string{" src=", " href=", "url(", "@import", " onerror=", " onload=", "http://www.w3.org"} {
				if strings.Contains(strings.ReplaceAll(html, `xmlns="http://www.w3.org/2000/svg"`, ""), bad) && !strings.Contains(name, strings.TrimSpace(bad)) {
					t.Errorf("%s with the name %.20q: the page has %q", page.name, name, bad)
				}
			}
		}
	}
}

func TestPagesAreTheSameBytes(t *testing.T) {
	c := lessonsOf(t)[0]
	for _, page := range pages {
		first, second := made(t, page.make, c), made(t, page.make, c)
		if first != second {
			t.Errorf("%s: two runs differ", page.name)
		}
	}
}

// What a file from a stranger can hold beyond a lesson is refused in a sentence.
func TestSheetOfTooMuchIsRefused(t *testing.T) {
	c := sample(t)
	for range 40_000 {
		c.Around = append(c.Around, circuit.Road{Name: "Long Road", Line: c.Legs[0].Line})
	}
	if _, err := handover.Sheet(c); err == nil || !strings.Contains(err.Error(), "roads around it; a map shows at most") {
		t.Errorf("40,000 roads: %v", err)
	}
}
