package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/gazetteer"
	"loopwright/internal/notes"
	"loopwright/internal/roadnet"
)

// Desk is an open network. It answers one question at a time: assessing keeps
// working space.
type Desk struct {
	net     *roadnet.Network
	profile *country.Profile
	assess  *assess.Assessor
	seen    *seen
	digest  string
	noted   *noted
	view    *notes.View // that assess heeds
	heeds   int         // which of noted's views that is
}

// Open opens an index file.
func Open(path string) (*Desk, error) {
	net, err := roadnet.Open(path)
	if err != nil {
		return nil, openFault(path, err)
	}
	p, err := country.ByCode(net.About().Country)
	if err != nil {
		net.Close()
		return nil, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err), Hint: indexAgain}
	}
	digest, err := digestOf(path, net.About())
	if err != nil {
		net.Close()
		return nil, openFault(path, err)
	}
	store, err := openNotes()
	if err != nil {
		net.Close()
		return nil, err
	}
	return &Desk{digest: digest, noted: &noted{store: store}, net: net, profile: p, assess: assess.New(net, p), seen: &seen{places: map[seenKey][]assess.Place{}}}, nil
}

const indexAgain = "Make the index again: `loopwright index EXTRACT`."

func openFault(path string, err error) error {
	f := &Fault{Kind: BadInput, Err: err, Hint: indexAgain}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.Err, f.Hint = fmt.Errorf("%s: there is no such file", path), "Make the index first: `loopwright index EXTRACT`."
	case errors.Is(err, roadnet.ErrNotOurs):
		f.Hint = "--index takes the file that `loopwright index EXTRACT` makes, not the extract."
	}
	return f
}

// Close lets go of the index file and the notes.
func (d *Desk) Close() error { return errors.Join(d.noted.store.Close(), d.net.Close()) }

// Profile is the country's.
func (d *Desk) Profile() *country.Profile { return d.profile }

// DataTimestamp is the age of the map's data; nil where the extract did not say.
func (d *Desk) DataTimestamp() *time.Time {
	if t := d.net.About().Timestamp; !t.IsZero() {
		return &t
	}
	return nil
}

// find reads a PLACE.
func (d *Desk) find(words string) (gazetteer.Result, error) {
	r, err := gazetteer.Find(d.net, words)
	if err != nil {
		return r, &Fault{Kind: WrongUse, Err: err}
	}
	return r, nil
}

// exercise finds an exercise by name.
func (d *Desk) exercise(name string) (*assess.Exercise, error) {
	ex, err := assess.Named(name)
	if err != nil {
		return nil, &Fault{Kind: WrongUse, Err: err}
	}
	return ex, nil
}

// guarded does work on the network with the notes of now; a file that shrinks
// under it is an error.
func guarded[T any](d *Desk, work func() (T, error)) (out T, err error) {
	guardErr := d.net.Guard(func() error {
		if err = d.heed(); err == nil {
			out, err = work()
		}
		return err
	})
	if guardErr != nil && err == nil {
		return out, &Fault{Kind: BadInput, Err: guardErr, Hint: indexAgain}
	}
	return out, err
}
