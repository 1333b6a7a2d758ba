package desk

import (
	"fmt"
	"time"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// UsedPlace is a note that a place to practise was used.
type UsedPlace struct {
	NoteRow
	Before bool `json:"noted_before"`
}

// Used notes that a circuit's places to practise were used. on is the day, or
// day and time; "" is the time that the circuit was planned for. A use that is
// noted already is not noted again.
func (b *Notes) Used(path, on, by string, now time.Time) ([]UsedPlace, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	if !c.Practises() {
		return nil, fault(WrongUse, "", "this lesson has no place to practise: there is no use of one to note")
	}
	if _, _, err := seenOn(on, c.StartsAt); err != nil {
		return nil, &Fault{Kind: WrongUse, Err: err}
	}
	file, err := circuit.Encode(c)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err)}
	}
	var uses []notes.Note
	for _, at := range c.Practices() {
		n, err := useOf(at.Practice, c.StartsAt, on)
		if err != nil {
			return nil, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err)}
		}
		n.Author, n.Circuit = by, PlanID(file) // never the file's name, which may be a learner's
		uses = append(uses, n)
	}
	out := make([]UsedPlace, 0, len(uses))
	for _, n := range uses {
		used, err := b.use(n, now)
		if err != nil {
			return out, err
		}
		out = append(out, used)
	}
	return out, nil
}

// useOf is the note that a place was used, on a day or when it was planned.
func useOf(p circuit.Practice, starts time.Time, on string) (notes.Note, error) {
	kerb, err := roadnet.ParseKerb(p.Kerb)
	if err != nil {
		return notes.Note{}, err
	}
	day, minute, err := seenOn(on, starts.Add(time.Duration(p.AtS*float64(time.Second))))
	if err != nil {
		return notes.Note{}, err
	}
	n := notes.Note{
		Kind: notes.Use, Day: day, Minute: minute, Exercise: p.Exercise,
		Place: notes.Place{Kerb: kerb, At: p.At, Heading: geo.Radians(p.FacesDeg) * geo.Degree, Road: p.Road},
	}
	// The kerb's side is as seen along the way; the car's as the driver sits.
	if (p.Side == "left") != (kerb.Side == roadnet.Left) {
		n.Place.Heading = (n.Place.Heading + 180*geo.Degree).Normal()
	}
	return n, nil
}

// use adds the note of a use, unless the same is there.
func (b *Notes) use(n notes.Note, now time.Time) (UsedPlace, error) {
	var before *UsedPlace
	err := b.store.Current(func(r notes.Revision) error {
		if r.Kind == notes.Use && !r.Deleted && r.Day == n.Day && r.Place.Kerb == n.Place.Kerb && r.Circuit == n.Circuit {
			before = &UsedPlace{rowOf(&r.Note), true}
		}
		return nil
	})
	if err != nil || before != nil {
		if before == nil {
			before = &UsedPlace{}
		}
		return *before, notesFault(err)
	}
	row, err := b.add(n, now)
	if err != nil {
		return UsedPlace{}, err
	}
	return UsedPlace{NoteRow: *row}, nil
}
