package notes

import (
	"math"
	"strings"
	"testing"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// street is a straight street of 400 m from west to east between cross streets.
const street = `
	A 0,0
	B 400,0
	C 0,200
	D 0,-200
	E 400,200
	F 400,-200
	A-B Mill Lane
	C-A-D West Street
	E-B-F East Street
`

// noteAt makes a note at a position of a segment, on its left.
func noteAt(t *testing.T, n *roadnet.Network, arrow string, along geo.Metres, note Note) Note {
	t.Helper()
	note.Place = PlaceAt(n, roadnet.Position{Segment: roadnettest.Segment(t, n, arrow), Along: along}, roadnet.Left)
	if note.Author == "" {
		note.Author = "AB"
	}
	if note.Day == (calendar.Date{}) {
		note.Day = calendar.Date{Year: 2027, Month: 3, Day: 2} // a Tuesday
	}
	r, err := First(note)
	if err != nil {
		t.Fatal(err)
	}
	return r.Note
}

// The map is drawn anew: ways turned round, cut, numbered anew, moved, renamed.
func TestMatchRedrawn(t *testing.T) {
	old := roadnettest.Parse(t, street)
	note := noteAt(t, old, "A>B", 300, Note{Kind: Text, Text: "here", Minute: -1})
	redraw := func(line string) string { return strings.Replace(street, "	A-B Mill Lane\n", line, 1) }
	for _, c := range []struct {
		name, text string
		x, y       float64 // where it lies then; NaN nowhere
		side       roadnet.Side
	}{
		{"the same", street, 300, 0, roadnet.Left},
		{"turned round", redraw("	B-A Mill Lane\n"), 300, 0, roadnet.Right},
		{"cut in two", redraw("	M 200,0\n	A-M Mill Lane\n	C-A-D West Street\n	M-B Mill Lane\n"), 300, 0, roadnet.Left},
		{"another number", redraw("	X 900,900\n	Y 900,1000\n	X-Y Far Street\n	A-B Mill Lane\n"), 300, 0, roadnet.Left},
		{"another number and moved by 8 m", redraw("	X 900,900\n	Y 900,1000\n	X-Y Far Street\n	P 0,8\n	Q 400,8\n	A-P Mill Lane\n	P-Q Mill Lane\n	Q-B Mill Lane\n"), 300, 8, roadnet.Left},
		{"another number and moved by 15 m", redraw("	X 900,900\n	Y 900,1000\n	X-Y Far Street\n	P 0,15\n	Q 400,15\n	A-P Mill Lane\n	P-Q Mill Lane\n	Q-B Mill Lane\n"), math.NaN(), 0, roadnet.SideUnknown},
		{"another number and name", redraw("	X 900,900\n	Y 900,1000\n	X-Y Far Street\n	A-B Market Row\n"), math.NaN(), 0, roadnet.SideUnknown},
		{"another number, and another road of the name across", redraw("	X 300,-100\n	Y 300,100\n	Z 900,900\n	W 900,950\n	Z-W Far Street\n	X-Y Mill Lane\n"), math.NaN(), 0, roadnet.SideUnknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := roadnettest.Parse(t, c.text)
			v := Match(n, Pack([]Note{note}))
			all := v.All()
			if math.IsNaN(c.x) {
				if len(all) != 0 || len(v.Unplaced()) != 1 || v.Unplaced()[0].Text != "here" {
					t.Fatalf("placed %+v, unplaced %v, want it listed", all, v.Unplaced())
				}
				return
			}
			if len(all) != 1 || len(v.Unplaced()) != 0 {
				t.Fatalf("placed %d, unplaced %d", len(all), len(v.Unplaced()))
			}
			at, _ := n.At(roadnet.Position{Segment: all[0].Stretch.Segment(true), Along: all[0].Along})
			want := geo.PlaneAt(note.Place.At).From(geo.XY{X: c.x - 300, Y: c.y})
			if d := geo.Distance(at, want); d > 1 {
				t.Errorf("it lies %.1f m off", float64(d))
			}
			// On the left of a car that drives east, so north of the road.
			_, heading := n.At(roadnet.Position{Segment: all[0].Stretch.Segment(true), Along: all[0].Along})
			north := all[0].Side == roadnet.Left == (math.Abs(float64(geo.Turned(heading, 90*geo.Degree))) < 1)
			if !north {
				t.Errorf("it lies on the %v of a road that runs %.0f°", all[0].Side, heading.Degrees())
			}
		})
	}
}

func here(t *testing.T, n *roadnet.Network, when When, all ...Note) Here {
	t.Helper()
	return Match(n, Pack(all)).On(roadnettest.Segment(t, n, "A>B").Stretch(), when)
}

// Two paced widths are worth more than one, a tape more than both, and widths
// that contradict one another less than each claims. The spreads are those of
// data/notes.yaml: paces hypot(0.15, 0.08 w), tape 0.1.
func TestWidthsCombine(t *testing.T) {
	n := roadnettest.Parse(t, street)
	width := func(m Method, w geo.Metres, along geo.Metres) Note {
		return noteAt(t, n, "A>B", along, Note{Kind: Width, Method: m, Metres: w, Minute: -1})
	}
	paced := func(w float64) float64 { return math.Hypot(0.15, 0.08*w) }
	for _, c := range []struct {
		name     string
		notes    []Note
		mean, sd float64
		within   float64
	}{
		{"one paced", []Note{width(Paces, 6, 200)}, 6, paced(6), 1e-9},
		{"two paced alike", []Note{width(Paces, 6, 200), width(Paces, 6, 201)}, 6, paced(6) / math.Sqrt2, 1e-3},
		{"tape beats paces", []Note{width(Tape, 6, 200), width(Paces, 6.4, 200)},
			(6/0.01 + 6.4/math.Pow(paced(6.4), 2)) / (1/0.01 + 1/math.Pow(paced(6.4), 2)), 1 / math.Sqrt(1/0.01+1/math.Pow(paced(6.4), 2)), 1e-9},
		// Birge's ratio: chi² = 2·(0.5/0.1)² = 50 over one degree of freedom.
		{"two tapes a metre apart", []Note{width(Tape, 5.5, 200), width(Tape, 6.5, 200)}, 6, 0.1 / math.Sqrt2 * math.Sqrt(50), 1e-9},
		{"a tape 100 m off", []Note{width(Tape, 6, 310)}, 6, math.Hypot(0.1, 0.4), 1e-3},
	} {
		h := here(t, n, When{}, c.notes...)
		mean, sd, ok := h.Width(190, 210)
		if !ok || math.Abs(mean-c.mean) > c.within || math.Abs(sd-c.sd) > c.within {
			t.Errorf("%s: %v ± %v, %v, want %v ± %v", c.name, mean, sd, ok, c.mean, c.sd)
		}
	}
	h := here(t, n, When{}, width(Tape, 6, 380))
	if _, _, ok := h.Width(190, 210); ok {
		t.Error("a width 170 m off is used")
	}
}

// Cars at ten on a Tuesday say little of a Sunday evening, more of a Thursday
// at eleven, and most of a Tuesday at ten.
func TestParkedByTheHour(t *testing.T) {
	n := roadnettest.Parse(t, street)
	note := noteAt(t, n, "A>B", 200, Note{Kind: Parked, Word: ParkedBothSides, Minute: 10 * 60})
	weight := func(day, hour int) float64 {
		at := time.Date(2027, 3, day, hour, 0, 0, 0, time.UTC)
		h := here(t, n, When{calendar.DateOf(at), at}, note)
		cars, ok := h.Parked(190, 210)
		if !ok || cars.None+cars.Few+cars.OneSide != 0 {
			t.Fatalf("Parked = %+v, %v", cars, ok)
		}
		return cars.BothSides
	}
	tuesday, thursday, sunday, nextYear := weight(9, 10), weight(11, 11), weight(14, 20), func() float64 {
		at := time.Date(2028, 3, 7, 10, 0, 0, 0, time.UTC)
		h := here(t, n, When{calendar.DateOf(at), at}, note)
		cars, _ := h.Parked(190, 210)
		return cars.BothSides
	}()
	if !(tuesday > 0.95 && thursday > 0.5 && thursday < tuesday && sunday < 0.01 && nextYear > 0.4 && nextYear < 0.6) {
		t.Errorf("a week on %v, Thursday at 11 %v, Sunday at 20 %v, a year on %v", tuesday, thursday, sunday, nextYear)
	}
}

func TestRests(t *testing.T) {
	n := roadnettest.Parse(t, street+"	G 800,0\n	B-G Mill Lane\n")
	day := func(month time.Month, d int) calendar.Date { return calendar.Date{Year: 2027, Month: month, Day: d} }
	hour := func(month time.Month, d, h int) When {
		at := time.Date(2027, month, d, h, 0, 0, 0, time.UTC)
		return When{calendar.DateOf(at), at}
	}
	use := noteAt(t, n, "A>B", 200, Note{Kind: Use, Minute: -1})
	complaint := noteAt(t, n, "B>G", 200, Note{Kind: Complaint, Minute: -1})
	closure := noteAt(t, n, "A>B", 10, Note{Kind: Closure, From: day(3, 5), Until: day(3, 7), Hours: "08:00-18:00", Minute: -1})
	never := noteAt(t, n, "A>B", 390, Note{Kind: Never, Minute: -1})
	bins := noteAt(t, n, "A>B", 200, Note{Kind: Bins, Hours: "Th 06:00-12:00", Minute: -1})
	market := noteAt(t, n, "A>B", 200, Note{Kind: Market, Hours: "Sa", Minute: -1})
	for _, c := range []struct {
		name string
		note Note
		when When
		from geo.Metres
		want Rest
	}{
		{"the day itself is the lesson's own", use, When{Day: day(3, 2)}, 190, Free},
		{"the day after", use, When{Day: day(3, 3)}, 190, UsedLately},
		{"a week after", use, When{Day: day(3, 9)}, 190, Free},
		{"the day after, far along the road", use, When{Day: day(3, 3)}, 310, Free},
		{"no day asked", use, When{}, 190, Free},
		{"a complaint on the same road", complaint, When{Day: day(6, 1)}, 0, Complained},
		{"a complaint of last year", complaint, When{Day: day(12, 1)}, 0, Free},
		{"closed", closure, hour(3, 6, 10), 300, Shut},
		{"closed, but at night", closure, hour(3, 6, 20), 300, Free},
		{"closed, but before", closure, hour(3, 4, 10), 300, Free},
		{"never again", never, When{}, 0, NeverAgain},
		{"bin day", bins, hour(3, 4, 10), 190, BinDay},
		{"bin day, afternoon", bins, hour(3, 4, 15), 190, Free},
		{"market", market, hour(3, 6, 10), 190, Shut},
		{"no market", market, hour(3, 5, 10), 190, Free},
	} {
		h := here(t, n, c.when, c.note)
		got, by := h.Rests(c.from, c.from+20)
		if got != c.want || (by == nil) != (c.want == Free) {
			t.Errorf("%s: %v by %v, want %v", c.name, got, by, c.want)
		}
	}
	v := Match(n, Pack([]Note{closure, market}))
	at := time.Date(2027, 3, 6, 17, 30, 0, 0, time.UTC)
	if got := v.Closed(at, at.Add(time.Hour)); len(got) != 1 || got[0] != roadnettest.Segment(t, n, "A>B").Stretch() {
		t.Errorf("Closed = %v", got)
	}
	at = time.Date(2027, 3, 8, 10, 0, 0, 0, time.UTC)
	if got := v.Closed(at, at.Add(time.Hour)); len(got) != 0 {
		t.Errorf("Closed after it = %v", got)
	}
}

// The nil view has nothing to say, and does not mind being asked.
func TestNoNotes(t *testing.T) {
	var v *View
	h := v.On(0, When{})
	if rest, by := h.Rests(0, 10); !h.None() || rest != Free || by != nil || v.All() != nil || v.Unplaced() != nil || v.Closed(wall, wall) != nil {
		t.Error("the nil view has notes")
	}
}

func TestTableRefuses(t *testing.T) {
	for _, text := range []string{"", "values: {x: 1}", "methods: {tape: {fixed_m: 0.1, share: 0}}", "methods: {}\nvalues: {}"} {
		if _, err := parseTable([]byte(text)); err == nil {
			t.Errorf("parseTable(%q) is no error", text)
		}
	}
}
