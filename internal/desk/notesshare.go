package desk

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/notes"
)

// Import says what a colleague's file would add, or has added.
type Import struct {
	File      string      `json:"file"`
	Added     bool        `json:"added"`
	ID        string      `json:"id,omitempty"` // by which it can be undone, where it was added
	Revisions int         `json:"revisions"`    // in the file
	New       int         `json:"new"`          // that are not here yet
	Counts    []KindCount `json:"kinds"`        // of the new ones
	Authors   []string    `json:"authors"`
	First     string      `json:"first,omitempty"` // day of the earliest new note
	Last      string      `json:"last,omitempty"`
	Changes   int         `json:"changes"` // notes that are here and would say otherwise
}

// KindCount is how many new notes are of a kind.
type KindCount struct {
	Kind  string `json:"kind"`
	Count int    `json:"count"`
}

// Import reads a colleague's file of notes. Without add it only says what they
// would add.
func (b *Notes) Import(path string, add bool, now time.Time) (*Import, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	defer f.Close()
	return b.ImportFrom(path, f, add, now)
}

// ImportFrom reads a colleague's notes from a stream that has a file's name.
func (b *Notes) ImportFrom(name string, in io.Reader, add bool, now time.Time) (*Import, error) {
	all, err := notes.ReadGeoJSON(in)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", name, err), Hint: "Nothing of it was taken in."}
	}
	out, err := b.preview(name, all)
	if err != nil || !add {
		return out, err
	}
	batch, err := b.store.Import(all, filepath.Base(name), calendar.DateOf(now))
	if err != nil {
		return nil, notesFault(err)
	}
	out.Added, out.ID = true, importPrefix+strconv.FormatInt(batch.ID, 10)
	return out, nil
}

const importPrefix = "import-"

func (b *Notes) preview(path string, all []notes.Revision) (*Import, error) {
	names := make([]notes.Name, len(all))
	for i := range all {
		names[i] = all[i].Name
	}
	held, err := b.store.Holds(names)
	if err != nil {
		return nil, notesFault(err)
	}
	out := &Import{File: path, Revisions: len(all), Counts: []KindCount{}, Authors: []string{}}
	kinds, authors, fresh := map[notes.Kind]int{}, map[string]bool{}, map[notes.Name]bool{}
	for i := range all {
		r := &all[i]
		if held[r.Name] || fresh[r.Name] {
			continue
		}
		fresh[r.Name] = true
		out.New++
		kinds[r.Kind]++
		authors[r.Author] = true
		if day := r.Day.String(); out.First == "" || day < out.First {
			out.First = day
		}
		out.Last = max(out.Last, r.Day.String())
		if r.ID != r.Name && held[r.ID] {
			out.Changes++
		}
	}
	for k, n := range kinds {
		out.Counts = append(out.Counts, KindCount{k.String(), n})
	}
	slices.SortFunc(out.Counts, func(a, b KindCount) int { return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Kind, b.Kind)) })
	out.Authors = append(out.Authors, slices.Sorted(maps.Keys(authors))...)
	return out, nil
}

// Undone says what was taken back.
type Undone struct {
	What    string   `json:"what"`
	Removed int      `json:"removed,omitempty"` // revisions, of an import
	Note    *NoteRow `json:"note,omitempty"`
	Back    bool     `json:"back,omitempty"` // the note was deleted, and is back
}

// Undo takes back an import ("import-3"), or deletes a note by the beginning of
// its name, or brings a deleted one back.
func (b *Notes) Undo(what, by string, now time.Time) (*Undone, error) {
	if number, ok := strings.CutPrefix(what, importPrefix); ok {
		id, err := strconv.ParseInt(number, 10, 64)
		if err != nil {
			return nil, fault(WrongUse, "", "%q is no import: one looks like %s3", what, importPrefix)
		}
		removed, err := b.store.Undo(id)
		if errors.Is(err, notes.ErrNoBatch) {
			return nil, &Fault{Kind: AnswerIsNo, Err: fmt.Errorf("%s: %w", what, err)}
		}
		return &Undone{What: what, Removed: removed}, notesFault(err)
	}
	found, err := b.store.Find(strings.ToLower(what))
	switch {
	case err != nil:
		return nil, notesFault(err)
	case what == "" || len(found) == 0:
		return nil, fault(AnswerIsNo, "See `loopwright notes list`.", "there is no note %q", what)
	case len(found) > 1:
		return nil, fault(WrongUse, "Give more of its name.", "%q is the beginning of several notes' names", what)
	}
	r, err := b.store.SetDeleted(found[0].ID, !found[0].Deleted, by, now)
	if err != nil {
		return nil, notesFault(err)
	}
	row := rowOf(&r.Note)
	return &Undone{What: what, Note: &row, Back: !r.Deleted}, nil
}
