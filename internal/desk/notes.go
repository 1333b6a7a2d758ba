package desk

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
)

// Notes is the user's notes. It needs no network but to find a PLACE, or to see
// which notes a network has a road for.
type Notes struct{ store *notes.Store }

// OpenNotes opens the user's notes.
func OpenNotes() (*Notes, error) {
	s, err := openNotes()
	if err != nil {
		return nil, err
	}
	return &Notes{s}, nil
}

// Notes gives the notes that the desk heeds; only the desk is closed.
func (d *Desk) Notes() *Notes { return &Notes{d.noted.store} }

// Close lets go of the file.
func (b *Notes) Close() error { return b.store.Close() }

// NoteRequest is a note in the words of a user.
type NoteRequest struct {
	Kind, Value string
	How         string // of a width
	At          string // a PLACE
	By          string // initials; "" those of the last note
	On          string // the day, or day and time, "" now
	From, Until string // of a closure
	Hours       string
	Exercise    string
	Text        string
	Now         time.Time

	circuit string // the survey drive that it was seen on
}

// NoteRow is a note as lists have it.
type NoteRow struct {
	ID       string `json:"id"`
	Kind     string `json:"kind"`
	Says     string `json:"says"`
	Author   string `json:"author"`
	Day      string `json:"date"`
	Kerb     string `json:"kerb"`
	Road     string `json:"road"`
	Text     string `json:"text,omitempty"`
	Deleted  bool   `json:"deleted,omitempty"`
	Unplaced bool   `json:"unplaced,omitempty"` // the network that was asked has no road for it
}

func rowOf(n *notes.Note) NoteRow {
	r := NoteRow{ID: n.ID.Short(), Kind: n.Kind.String(), Says: n.Says(), Author: n.Author, Day: n.Day.String(), Kerb: n.Place.Kerb.String(), Road: n.Place.Road, Deleted: n.Deleted}
	if n.Kind != notes.Text {
		r.Text = n.Text
	}
	return r
}

// AddNote writes a note.
func (d *Desk) AddNote(r NoteRequest) (*NoteRow, error) {
	return guarded(d, func() (*NoteRow, error) {
		n, err := r.note()
		if err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		at, err := d.find(r.At)
		if err != nil {
			return nil, err
		}
		n.Place = notes.PlaceAt(d.net, at.Position, at.Side)
		zone, err := d.profile.ZoneAt(at.At)
		if err != nil {
			return nil, &Fault{Kind: WrongUse, Err: fmt.Errorf("the time zone is not known here: %w", err)}
		}
		if n.Day, n.Minute, err = seenOn(r.On, r.Now.In(zone)); err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		return d.Notes().add(n, r.Now)
	})
}

// add writes a note, and says it as it is written.
func (b *Notes) add(n notes.Note, now time.Time) (*NoteRow, error) {
	done, err := b.store.Add(n, now)
	if err != nil {
		var file *notes.Fault
		if !errors.As(err, &file) && !errors.Is(err, notes.ErrNoAuthor) {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		return nil, notesFault(err)
	}
	row := rowOf(&done.Note)
	return &row, nil
}

// note reads all but when and where.
func (r *NoteRequest) note() (n notes.Note, err error) {
	n = notes.Note{Author: r.By, Hours: r.Hours, Exercise: r.Exercise, Circuit: r.circuit, Text: r.Text, Minute: -1}
	if n.Kind, err = notes.ReadKind(r.Kind); err != nil {
		return n, err
	}
	if r.By != "" {
		if err := notes.CheckAuthor(r.By); err != nil {
			return n, err
		}
	}
	if r.Exercise != "" {
		if _, err := assess.Named(r.Exercise); err != nil {
			return n, err
		}
	}
	if r.Hours != "" {
		if unread := calendar.ParseHours(r.Hours).Unread(); len(unread) > 0 {
			return n, fmt.Errorf("%q can't be read as hours: write them as \"Mo-Fr 08:00-09:30\"", strings.Join(unread, "; "))
		}
	}
	for _, d := range []struct {
		text string
		to   *calendar.Date
	}{{r.From, &n.From}, {r.Until, &n.Until}} {
		if d.text == "" {
			continue
		}
		if *d.to, err = calendar.ParseDate(d.text); err != nil {
			return n, err
		}
	}
	return n, r.value(&n)
}

// value reads what the note says.
func (r *NoteRequest) value(n *notes.Note) error {
	if r.How != "" && n.Kind != notes.Width {
		return fmt.Errorf("only a width says how it was measured")
	}
	words := n.Kind.Words()
	switch {
	case n.Kind == notes.Width || n.Kind == notes.Sight && r.Value != notes.Blocked.String():
		v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(r.Value), "m"), 64)
		if err != nil {
			return fmt.Errorf("%q is no number of metres for a %s", r.Value, n.Kind)
		}
		n.Metres = geo.Metres(v)
		if n.Kind == notes.Width {
			ok := false
			if n.Method, ok = notes.MethodOf(r.How); !ok {
				return fmt.Errorf("say how the width was measured: tape, paces, car lengths or by eye")
			}
		}
	case len(words) > 0:
		ok := false
		if n.Word, ok = n.Kind.WordOf(r.Value); !ok {
			var all []string
			for _, w := range words {
				all = append(all, w.String())
			}
			return fmt.Errorf("a note of %s says one of: %s", n.Kind, strings.Join(all, ", "))
		}
	case n.Kind == notes.Text && r.Text == "":
		n.Text = r.Value
	case r.Value != "":
		return fmt.Errorf("a note of %s takes no value; %q can go into its text", n.Kind, r.Value)
	}
	return nil
}

// seenOn reads the day, or day and time, of a note; "" is now.
func seenOn(text string, now time.Time) (calendar.Date, int, error) {
	if text == "" {
		return calendar.DateOf(now), now.Hour()*60 + now.Minute(), nil
	}
	if t, err := time.Parse("2006-01-02 15:04", text); err == nil {
		return calendar.DateOf(t), t.Hour()*60 + t.Minute(), nil
	}
	d, err := calendar.ParseDate(text)
	if err != nil {
		return d, -1, fmt.Errorf(`%q is no day: write 2027-03-04, or "2027-03-04 10:00"`, text)
	}
	return d, -1, nil
}

// List gives all notes, oldest first, deleted ones only where asked. With a
// desk it tells which ones its network has no road for.
func (b *Notes) List(d *Desk, deleted bool) ([]NoteRow, error) {
	unplaced := map[notes.Name]bool{}
	if d != nil {
		_, err := guarded(d, func() (struct{}, error) {
			for _, n := range d.view.Unplaced() {
				unplaced[n.ID] = true
			}
			return struct{}{}, nil
		})
		if err != nil {
			return nil, err
		}
	}
	rows := []NoteRow{}
	err := b.store.Current(func(r notes.Revision) error {
		if r.Deleted && !deleted {
			return nil
		}
		row := rowOf(&r.Note)
		row.Unplaced = unplaced[r.ID]
		rows = append(rows, row)
		return nil
	})
	return rows, notesFault(err)
}

// Export writes all notes, deleted ones too, to a GeoJSON file.
func (b *Notes) Export(path string) (count int, err error) {
	var text strings.Builder
	if count, err = b.store.Export(&text); err != nil {
		return 0, notesFault(err)
	}
	return count, WriteFile(path, []byte(text.String()))
}

// ExportTo writes the same to a stream.
func (b *Notes) ExportTo(w io.Writer) (int, error) {
	n, err := b.store.Export(w)
	return n, notesFault(err)
}
