package assess

import (
	"strings"
	"testing"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// block is a straight street of 400 m across a block of streets.
const block = `
	A 0,0
	B 400,0
	C 0,200
	D 0,-200
	E 400,200
	F 400,-200
	A-B Mill Lane
	C-A-D West Street
	E-B-F East Street
	C-E North Street
	D-F South Street
`

// noteOn is a note 100 m along Mill Lane, on the left.
func noteOn(t *testing.T, n *roadnet.Network, note notes.Note) notes.Note {
	t.Helper()
	note.Place = notes.PlaceAt(n, roadnet.Position{Segment: roadnettest.Segment(t, n, "A>B"), Along: 100}, roadnet.Left)
	note.Author, note.Day = "JB", calendar.Date{Year: 2027, Month: 3, Day: 2}
	if note.Minute == 0 {
		note.Minute = -1
	}
	r, err := notes.First(note)
	if err != nil {
		t.Fatal(err)
	}
	return r.Note
}

// What is noted outranks the map, and says whose it is and of when.
func TestNotesOutrankTheMap(t *testing.T) {
	n := roadnettest.Parse(t, block)
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	at := func(when notes.When, all ...notes.Note) Place {
		a := New(n, profile(t, "gb")).WithNotes(notes.Match(n, notes.Pack(all)), when)
		return a.At(ex, roadnet.Position{Segment: roadnettest.Segment(t, n, "A>B"), Along: 100}, roadnet.Left)
	}
	finding := func(p Place, criterion string) *Finding {
		for i := range p.Findings {
			if p.Findings[i].Criterion == criterion {
				return &p.Findings[i]
			}
		}
		return nil
	}
	tuesday := time.Date(2027, 3, 9, 10, 0, 0, 0, time.UTC)
	hour := notes.When{Day: calendar.DateOf(tuesday), Hour: tuesday}
	bare := at(hour)
	if f := finding(bare, "noted"); f != nil || finding(bare, "clear-width").Evidence != Assumed {
		t.Fatalf("without notes: %+v", bare)
	}
	for _, c := range []struct {
		name      string
		note      notes.Note
		when      notes.When
		criterion string
		holds     Holds
		says      string // of the source
	}{
		{"wide", notes.Note{Kind: notes.Width, Metres: 7, Method: notes.Tape}, hour, "clear-width", HoldsYes, "7 m wide, by tape (JB, 2 March 2027)"},
		{"narrow", notes.Note{Kind: notes.Width, Metres: 4, Method: notes.Paces}, hour, "clear-width", HoldsNo, "4 m wide, by paces"},
		{"steep", notes.Note{Kind: notes.Gradient, Word: notes.Steep}, hour, "gradient", HoldsNo, "felt steep"},
		{"blocked", notes.Note{Kind: notes.Sight, Word: notes.Blocked}, hour, "sight", HoldsNo, "the view is blocked"},
		{"loose", notes.Note{Kind: notes.Surface, Word: notes.Loose}, hour, "surface", HoldsPerhaps, "loose surface"},
		{"no stopping", notes.Note{Kind: notes.Restriction, Word: notes.NoStopping}, hour, "kerb", HoldsNo, "no stopping"},
		{"private", notes.Note{Kind: notes.Restriction, Word: notes.Private}, hour, "access", HoldsNo, "private"},
		{"parked at that hour", notes.Note{Kind: notes.Parked, Word: notes.ParkedBothSides, Minute: 600}, hour, "parked", HoldsPerhaps, "cars parked on both sides at 10:00"},
		{"used", notes.Note{Kind: notes.Use}, notes.When{Day: calendar.Date{Year: 2027, Month: 3, Day: 3}}, "noted", HoldsPerhaps, "used (JB, 2 March 2027)"},
		{"complaint", notes.Note{Kind: notes.Complaint}, hour, "noted", HoldsNo, "a resident complained"},
		{"never", notes.Note{Kind: notes.Never}, notes.When{}, "noted", HoldsNo, "never again"},
		{"does not suit", notes.Note{Kind: notes.Suits, Word: notes.No, Exercise: ex.Name}, hour, "noted", HoldsNo, "does not suit"},
	} {
		p := at(c.when, noteOn(t, n, c.note))
		f := finding(p, c.criterion)
		if f == nil || f.Evidence != Measured || !strings.Contains(f.Source, c.says) {
			t.Errorf("%s: %+v, want measured by %q", c.name, f, c.says)
			continue
		}
		if c.holds != HoldsPerhaps && f.Holds != c.holds {
			t.Errorf("%s: holds %v (chance %v), want %v", c.name, f.Holds, f.Chance, c.holds)
		}
		if words := Words(*f, profile(t, "gb")); !strings.Contains(words, "JB, 2 March 2027") {
			t.Errorf("%s: %q does not say whose it is", c.name, words)
		}
		if c.holds == HoldsNo && p.Verdict != Unsuitable {
			t.Errorf("%s: verdict %v", c.name, p.Verdict)
		}
	}
	// Cars seen on a Tuesday at ten say little of a Sunday evening.
	seen := noteOn(t, n, notes.Note{Kind: notes.Parked, Word: notes.ParkedBothSides, Minute: 600})
	sunday := time.Date(2027, 3, 14, 20, 0, 0, 0, time.UTC)
	then, other := finding(at(hour, seen), "parked"), finding(at(notes.When{Day: calendar.DateOf(sunday), Hour: sunday}, seen), "parked")
	plain := finding(bare, "parked")
	if !(then.Chance < other.Chance-0.2 && other.Chance > plain.Chance-0.05) || other.Evidence == Measured {
		t.Errorf("parked: chance %v bare, %v on the same hour, %v on a Sunday", plain.Chance, then.Chance, other.Chance)
	}
	// An instructor's eye settles what is only assumed.
	suits := at(hour, noteOn(t, n, notes.Note{Kind: notes.Suits, Word: notes.Yes, Exercise: ex.Name}))
	for _, f := range suits.Findings {
		if f.Evidence == Assumed || f.Evidence == EvidenceUnknown {
			t.Errorf("%s is still assumed where an instructor says that it suits", f.Criterion)
		}
	}
	if suits.Chance <= bare.Chance || suits.Verdict < bare.Verdict {
		t.Errorf("suits by eye: chance %v, verdict %v; without %v, %v", suits.Chance, suits.Verdict, bare.Chance, bare.Verdict)
	}
	// A verdict is drawn again from the findings alone.
	if v, chance, fit := Judge(suits.Findings, ex); v != suits.Verdict || chance != suits.Chance || fit != suits.MapFit {
		t.Errorf("Judge gives %v %v %v of findings that gave %v %v %v", v, chance, fit, suits.Verdict, suits.Chance, suits.MapFit)
	}
}

// A note is of where it was made: a window far along the same street is judged
// by the map, and the best window goes where the note lets it.
func TestNotesMoveTheWindow(t *testing.T) {
	n := roadnettest.Parse(t, block)
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	seg := roadnettest.Segment(t, n, "A>B")
	note := noteOn(t, n, notes.Note{Kind: notes.Restriction, Word: notes.NoStopping})
	with := New(n, profile(t, "gb")).WithNotes(notes.Match(n, notes.Pack([]notes.Note{note})), notes.When{})
	for _, p := range with.Places(ex, seg.Stretch()) {
		if p.Position.Segment != seg {
			continue
		}
		if away := max(p.From-100, 100-p.To, 0); away < 60 {
			t.Errorf("the place lies %v m from no stopping", geo.Metres(away))
		}
	}
}

// A row of cars that the tags put there narrows the road only as far as it was
// seen to stand, and an instructor's yes settles a few cars, but not a road that
// is noted as plainly too narrow.
func TestCarsThatWereNotSeenLeaveTheWidth(t *testing.T) {
	n := roadnettest.Parse(t, block)
	ex, err := Named("turn-in-the-road")
	if err != nil {
		t.Fatal(err)
	}
	seg := roadnettest.Segment(t, n, "A>B")
	for _, piece := range n.Pieces(seg.Stretch()) {
		piece.Attributes.Parking[0] = extract.ParkingLane
	}
	when := time.Date(2027, 3, 2, 10, 0, 0, 0, time.UTC)
	at := func(all ...notes.Note) Place {
		a := New(n, profile(t, "gb")).WithNotes(notes.Match(n, notes.Pack(all)), notes.When{Day: calendar.DateOf(when), Hour: when})
		return a.At(ex, roadnet.Position{Segment: seg, Along: 100}, roadnet.Left)
	}
	width := func(p Place) float64 { return named(p.Findings, "clear-width").middle() }
	wide := noteOn(t, n, notes.Note{Kind: notes.Width, Metres: 7, Method: notes.Tape})
	seen := func(word notes.Word) notes.Note {
		return noteOn(t, n, notes.Note{Kind: notes.Parked, Word: word, Minute: 600})
	}
	yes := noteOn(t, n, notes.Note{Kind: notes.Suits, Word: notes.Yes, Exercise: ex.Name})
	for _, c := range []struct {
		name     string
		all      []notes.Note
		from, to float64 // metres
	}{
		{"nobody looked", []notes.Note{wide}, 5, 5},
		{"no cars", []notes.Note{wide, seen(notes.ParkedNone)}, 6, 7},
		{"a row of cars", []notes.Note{wide, seen(notes.ParkedOneSide)}, 5, 5},
		{"no cars, not measured", []notes.Note{seen(notes.ParkedNone)}, width(at()) + 1, width(at()) + 2},
	} {
		if got := width(at(c.all...)); got < c.from-0.05 || got > c.to+0.05 {
			t.Errorf("%s: %v m clear, want %v to %v", c.name, got, c.from, c.to)
		}
	}
	if p := at(wide, seen(notes.ParkedFew), yes); p.Verdict != Suitable {
		t.Errorf("wide, few cars, and it would do: %v, %+v", p.Verdict, p.Findings)
	}
	narrow := noteOn(t, n, notes.Note{Kind: notes.Width, Metres: 3.5, Method: notes.Tape})
	if p := at(narrow, seen(notes.ParkedNone), yes); p.Verdict == Suitable {
		t.Errorf("3.5 m by tape suits because of a yes: %+v", p.Findings)
	}
}
