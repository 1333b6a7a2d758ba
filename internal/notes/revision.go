package notes

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// format rises only when an older reader would be wrong.
const format = 1

// Bounds of one revision. Our choice: a page of text, and room to spare.
const (
	mostBytes  = 16_000
	mostText   = 2_000
	mostShort  = 200
	mostAuthor = 12
)

// Revision is one immutable state of a note: its canonical JSON, and what that
// says. Members that this version does not know stay in the JSON.
type Revision struct {
	Note
	JSON []byte // read only
}

// fields are a revision's members. A pointer tells a member that is missing.
type fields struct {
	Format   int         `json:"format"`
	Note     string      `json:"note,omitempty"` // of the first revision; none on the first itself
	Clock    *[2]int64   `json:"clock"`
	Author   string      `json:"author"`
	Deleted  bool        `json:"deleted,omitempty"`
	Kind     string      `json:"kind"`
	Kerb     string      `json:"kerb"`
	At       *[2]float64 `json:"at"` // longitude, latitude
	Heading  *float64    `json:"heading_deg"`
	Road     string      `json:"road,omitempty"`
	Date     string      `json:"date"`
	Time     string      `json:"time,omitempty"`
	WidthM   float64     `json:"width_m,omitempty"`
	SeenM    float64     `json:"seen_m,omitempty"`
	How      string      `json:"how,omitempty"`
	What     string      `json:"what,omitempty"`
	Exercise string      `json:"exercise,omitempty"`
	From     string      `json:"from,omitempty"`
	Until    string      `json:"until,omitempty"`
	Hours    string      `json:"hours,omitempty"`
	Circuit  string      `json:"circuit,omitempty"`
	Text     string      `json:"text,omitempty"`
}

// Read reads a revision. The error says which member is wrong.
func Read(text []byte) (Revision, error) {
	if len(text) > mostBytes {
		return Revision{}, fmt.Errorf("%d bytes are more than a note can hold (%d)", len(text), mostBytes)
	}
	body, err := canonical(text)
	if err != nil {
		return Revision{}, err
	}
	return readCanonical(body, sha256.Sum256(body))
}

// readCanonical reads what is known to be canonical and to have the name.
func readCanonical(body []byte, name Name) (Revision, error) {
	var f fields
	if err := json.Unmarshal(body, &f); err != nil {
		return Revision{}, fmt.Errorf("a member has the wrong type: %w", err)
	}
	n, err := f.note()
	if err != nil {
		return Revision{}, err
	}
	n.Name = name
	if f.Note == "" {
		n.ID = name
	} else if n.ID, err = ParseName(f.Note); err != nil {
		return Revision{}, err
	}
	return Revision{n, body}, nil
}

func (f *fields) note() (n Note, err error) {
	switch {
	case f.Format < 1:
		return n, fmt.Errorf("it has no format, so it is no note of ours")
	case f.Clock == nil:
		return n, fmt.Errorf("it has no clock")
	case f.At == nil || f.Heading == nil:
		return n, fmt.Errorf("it does not say where: at and heading_deg")
	case f.Kind == "" || len(f.Kind) > mostShort:
		return n, fmt.Errorf("it has no kind")
	case !orb.Point(*f.At).Bound().Intersects(earth):
		return n, fmt.Errorf("%v is no position: longitude, then latitude", *f.At)
	case !(math.Abs(*f.Heading) <= 360):
		return n, fmt.Errorf("%g is no heading in degrees", *f.Heading)
	case f.WidthM < 0 || f.WidthM > 100 || f.SeenM < 0 || f.SeenM > 10_000:
		return n, fmt.Errorf("width_m or seen_m is no length that a road has")
	}
	n = Note{
		Clock: Clock{f.Clock[0], f.Clock[1]}, Author: f.Author, Deleted: f.Deleted, Minute: -1,
		Place:  Place{At: *f.At, Heading: geo.Radians(*f.Heading) * geo.Degree, Road: f.Road},
		Metres: geo.Metres(f.WidthM + f.SeenM), Exercise: f.Exercise, Hours: f.Hours, Circuit: f.Circuit, Text: f.Text,
	}
	n.Kind, _ = KindOf(f.Kind)
	n.Method, _ = MethodOf(f.How)
	n.Word, _ = n.Kind.WordOf(f.What)
	if err := n.Clock.check(); err != nil {
		return n, err
	}
	if err := CheckAuthor(f.Author); err != nil {
		return n, err
	}
	if n.Place.Kerb, err = roadnet.ParseKerb(f.Kerb); err != nil {
		return n, err
	}
	for _, d := range []struct {
		text string
		to   *calendar.Date
		must bool
	}{{f.Date, &n.Day, true}, {f.From, &n.From, false}, {f.Until, &n.Until, false}} {
		if d.text == "" && !d.must {
			continue
		}
		if *d.to, err = calendar.ParseDate(d.text); err != nil {
			return n, err
		}
	}
	if f.Time != "" {
		t, err := time.Parse("15:04", f.Time)
		if err != nil {
			return n, fmt.Errorf("%q is no time of day: write 09:30", f.Time)
		}
		n.Minute = t.Hour()*60 + t.Minute()
	}
	for _, s := range []struct {
		name, text string
		most       int
	}{{"road", f.Road, mostShort}, {"exercise", f.Exercise, mostShort}, {"hours", f.Hours, mostShort}, {"circuit", f.Circuit, mostShort}, {"text", f.Text, mostText}} {
		if utf8.RuneCountInString(s.text) > s.most {
			return n, fmt.Errorf("its %s is longer than %d characters", s.name, s.most)
		}
	}
	return n, n.check(f)
}

var earth = orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}

// check says what is missing for the kind.
func (n *Note) check(f *fields) error {
	switch {
	case n.Kind == Width && !(n.Metres >= 1):
		return fmt.Errorf("a width needs its metres, 1 or more")
	case n.Kind == Width && f.How == "":
		return fmt.Errorf("a width needs how it was measured: tape, paces, car lengths or by eye")
	case n.Kind == Sight && n.Metres == 0 && f.What == "":
		return fmt.Errorf("a note of sight needs how far one sees, or that it is blocked")
	case n.Kind != KindUnknown && n.Kind != Sight && len(n.Kind.Words()) > 0 && f.What == "":
		return fmt.Errorf("a note of %s needs one of the words %s", n.Kind, listed(n.Kind.Words()))
	case n.Kind == Suits && n.Exercise == "":
		return fmt.Errorf("a note on what suits needs its exercise")
	case (n.Kind == Bins || n.Kind == Market) && n.Hours == "":
		return fmt.Errorf("a note of %s needs its hours, such as \"Th 06:00-12:00\"", n.Kind)
	case n.Kind == Text && n.Text == "":
		return fmt.Errorf("a note of text needs its text")
	case n.From != (calendar.Date{}) && n.Until != (calendar.Date{}) && n.Until.Before(n.From):
		return fmt.Errorf("it ends on %s, before it begins on %s", n.Until, n.From)
	}
	return nil
}

// CheckAuthor says what initials may be.
func CheckAuthor(s string) error {
	if s == "" || utf8.RuneCountInString(s) > mostAuthor {
		return fmt.Errorf("a note needs whose it is: initials of at most %d letters", mostAuthor)
	}
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return fmt.Errorf("%q are no initials: give letters and digits only", s)
		}
	}
	return nil
}

// First makes the first revision of a note: ID, Name and Deleted of n do not
// matter.
func First(n Note) (Revision, error) {
	f := fields{
		Format: format, Clock: &[2]int64{n.Clock.Ms, n.Clock.Count}, Author: n.Author, Kind: n.Kind.String(),
		Kerb: n.Place.Kerb.String(), At: &[2]float64{round(n.Place.At.Lon(), 1e7), round(n.Place.At.Lat(), 1e7)}, Road: n.Place.Road,
		Date: n.Day.String(), Exercise: n.Exercise, Hours: n.Hours, Circuit: n.Circuit, Text: n.Text,
	}
	heading := math.Mod(round(n.Place.Heading.Normal().Degrees(), 10), 360)
	f.Heading = &heading
	if n.Minute >= 0 {
		f.Time = fmt.Sprintf("%02d:%02d", n.Minute/60, n.Minute%60)
	}
	switch n.Kind {
	case Width:
		f.WidthM, f.How = round(float64(n.Metres), 100), n.Method.String()
	case Sight:
		f.SeenM = round(float64(n.Metres), 10)
	}
	if n.Word != WordUnknown {
		f.What = n.Word.String()
	}
	if n.From != (calendar.Date{}) {
		f.From = n.From.String()
	}
	if n.Until != (calendar.Date{}) {
		f.Until = n.Until.String()
	}
	text, err := json.Marshal(f)
	if err != nil {
		return Revision{}, err
	}
	return Read(text)
}

func round(x, per float64) float64 { return math.Round(x*per) / per }

// Next makes the revision after r that deletes the note or brings it back;
// all else stays, members too that this version does not know.
func (r Revision) Next(clock Clock, author string, deleted bool) (Revision, error) {
	var members map[string]json.RawMessage
	d := json.NewDecoder(bytes.NewReader(r.JSON))
	if err := d.Decode(&members); err != nil {
		return Revision{}, fmt.Errorf("revision %s: %w", r.Name.Short(), err)
	}
	set := map[string]any{"note": r.ID.String(), "clock": [2]int64{clock.Ms, clock.Count}, "author": author}
	if deleted {
		set["deleted"] = true
	} else {
		delete(members, "deleted")
	}
	for k, v := range set {
		text, err := json.Marshal(v)
		if err != nil {
			return Revision{}, err
		}
		members[k] = text
	}
	text, err := json.Marshal(members)
	if err != nil {
		return Revision{}, err
	}
	return Read(text)
}

// After tells whether r outranks s: by clock, then by name.
func (r *Note) After(s *Note) bool {
	if c := r.Clock.Compare(s.Clock); c != 0 {
		return c > 0
	}
	return bytes.Compare(r.Name[:], s.Name[:]) > 0
}
