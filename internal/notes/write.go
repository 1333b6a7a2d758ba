package notes

import (
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"loopwright/internal/calendar"
)

// ownBatch stands for what was written here by hand.
const ownBatch = 0

// Add writes a new note. ID, Name, Clock and Deleted are filled in; an empty
// Author is that of the last note written here.
func (s *Store) Add(n Note, wall time.Time) (Revision, error) {
	return s.put(n.Author, func(tx *sql.Tx, clock Clock, author string) (Revision, error) {
		n.Clock, n.Author = clock.Next(wall), author
		return First(n)
	})
}

// ErrNoAuthor says that nobody knows whose note it is.
var ErrNoAuthor = errors.New("whose note is it? say your initials once")

// ErrNoNote says that a name is no note's.
var ErrNoNote = errors.New("there is no such note")

// SetDeleted writes the revision that deletes a note, or brings it back.
func (s *Store) SetDeleted(id Name, deleted bool, author string, wall time.Time) (Revision, error) {
	return s.put(author, func(tx *sql.Tx, clock Clock, author string) (Revision, error) {
		last, err := current(tx, id)
		if err != nil {
			return last, err
		}
		return last.Next(clock.Next(wall), author, deleted)
	})
}

// put writes one revision of one's own.
func (s *Store) put(author string, make func(tx *sql.Tx, clock Clock, author string) (Revision, error)) (r Revision, err error) {
	err = s.write(func(tx *sql.Tx) error {
		if author == "" {
			if err := tx.QueryRow("SELECT author FROM own").Scan(&author); err != nil {
				return err
			}
		}
		if author == "" {
			return ErrNoAuthor
		}
		clock, err := heldClock(tx)
		if err != nil {
			return err
		}
		if r, err = make(tx, clock, author); err != nil {
			return err
		}
		if _, err := tx.Exec("UPDATE own SET author = ?", author); err != nil {
			return err
		}
		return take(tx, ownBatch, []Revision{r})
	})
	return r, err
}

// Batch is one import.
type Batch struct {
	ID   int64
	File string // the base name of what was imported
	Day  calendar.Date
	New  int // revisions that it alone brought
}

// Import takes in revisions from a colleague, as one batch that can be undone.
// Those that are there already stay.
func (s *Store) Import(all []Revision, file string, day calendar.Date) (b Batch, err error) {
	b = Batch{File: file, Day: day}
	err = s.write(func(tx *sql.Tx) error {
		done, err := tx.Exec("INSERT INTO batch (file, day) VALUES (?, ?)", file, day.String())
		if err != nil {
			return err
		}
		if b.ID, err = done.LastInsertId(); err != nil {
			return err
		}
		if err := take(tx, b.ID, all); err != nil {
			return err
		}
		return tx.QueryRow(aloneCount, b.ID).Scan(&b.New)
	})
	return b, err
}

const aloneCount = `SELECT count(*) FROM brought b WHERE batch = ? AND NOT EXISTS (SELECT 1 FROM brought o WHERE o.name = b.name AND o.batch <> b.batch)`

// ErrNoBatch says that there was no such import, or that it is undone.
var ErrNoBatch = errors.New("there is no such import, or it is undone already")

// Undo takes an import back: the revisions that came from it alone. It is a
// local act: a later import of the same file brings them again.
func (s *Store) Undo(id int64) (removed int, err error) {
	err = s.write(func(tx *sql.Tx) error {
		done, err := tx.Exec("DELETE FROM batch WHERE id = ?", id)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, ErrNoBatch)
		}
		rows, err := tx.Query(`SELECT r.name, r.note FROM brought b JOIN revision r ON r.name = b.name
			WHERE batch = ? AND NOT EXISTS (SELECT 1 FROM brought o WHERE o.name = b.name AND o.batch <> b.batch)`, id)
		if err != nil {
			return err
		}
		notes := map[Name]bool{}
		var names []Name
		for rows.Next() {
			var name, note []byte
			if err := rows.Scan(&name, &note); err != nil {
				return errors.Join(err, rows.Close())
			}
			names = append(names, Name(name))
			notes[Name(note)] = true
		}
		if err := errors.Join(rows.Err(), rows.Close()); err != nil {
			return err
		}
		for _, n := range names {
			if _, err := tx.Exec("DELETE FROM revision WHERE name = ?", n[:]); err != nil {
				return err
			}
		}
		if _, err := tx.Exec("DELETE FROM brought WHERE batch = ?", id); err != nil {
			return err
		}
		removed = len(names)
		return settle(tx, notes)
	})
	return removed, err
}

// take adds revisions and settles what their notes say now.
func take(tx *sql.Tx, batch int64, all []Revision) error {
	add, err := tx.Prepare("INSERT OR IGNORE INTO revision (name, note, ms, count, body) VALUES (?, ?, ?, ?, ?)")
	if err != nil {
		return err
	}
	defer add.Close()
	bring, err := tx.Prepare("INSERT OR IGNORE INTO brought (batch, name) VALUES (?, ?)")
	if err != nil {
		return err
	}
	defer bring.Close()
	clock, err := heldClock(tx)
	if err != nil {
		return err
	}
	notes := map[Name]bool{}
	for i := range all {
		r := &all[i]
		if _, err := add.Exec(r.Name[:], r.ID[:], r.Clock.Ms, r.Clock.Count, r.JSON); err != nil {
			return err
		}
		if _, err := bring.Exec(batch, r.Name[:]); err != nil {
			return err
		}
		notes[r.ID] = true
		if r.Clock.Compare(clock) > 0 {
			clock = r.Clock
		}
	}
	if _, err := tx.Exec("UPDATE clock SET ms = ?, count = ?", clock.Ms, clock.Count); err != nil {
		return err
	}
	return settle(tx, notes)
}

// heldClock is the greatest clock ever held, undone imports too.
func heldClock(tx *sql.Tx) (c Clock, err error) {
	err = tx.QueryRow("SELECT ms, count FROM clock").Scan(&c.Ms, &c.Count)
	return c, err
}

// current is what a note says now.
func current(tx *sql.Tx, id Name) (Revision, error) {
	var name, body []byte
	err := tx.QueryRow("SELECT name, body FROM revision WHERE note = ? ORDER BY ms DESC, count DESC, name DESC LIMIT 1", id[:]).Scan(&name, &body)
	if errors.Is(err, sql.ErrNoRows) {
		return Revision{}, ErrNoNote
	}
	if err != nil {
		return Revision{}, err
	}
	return held(name, body)
}

// held reads a revision of the file. Its name shows whether it is still whole.
func held(name, body []byte) (Revision, error) {
	r, err := Read(body)
	if err != nil {
		return r, fmt.Errorf("revision %x: %w: %w", name, ErrDamaged, err)
	}
	if r.Name != Name(name) {
		return r, fmt.Errorf("revision %x is not what was written: %w", name, ErrDamaged)
	}
	return r, nil
}

// settle makes rows and cells of notes anew from their revisions.
func settle(tx *sql.Tx, notes map[Name]bool) error {
	type change struct {
		gone map[Name]bool
		come []*Note
	}
	cells := map[cellID]*change{}
	in := func(c cellID) *change {
		if cells[c] == nil {
			cells[c] = &change{gone: map[Name]bool{}}
		}
		return cells[c]
	}
	ids := slices.SortedFunc(maps.Keys(notes), func(a, b Name) int { return slices.Compare(a[:], b[:]) })
	for _, id := range ids {
		var cell cellID
		switch err := tx.QueryRow("SELECT cell FROM note WHERE id = ?", id[:]).Scan(&cell); {
		case err == nil:
			in(cell).gone[id] = true
		case !errors.Is(err, sql.ErrNoRows):
			return err
		}
		r, err := current(tx, id)
		if errors.Is(err, ErrNoNote) {
			if _, err := tx.Exec("DELETE FROM note WHERE id = ?", id[:]); err != nil {
				return err
			}
			continue
		}
		if err != nil {
			return err
		}
		cell = cellAt(r.Place.At)
		if _, err := tx.Exec("INSERT OR REPLACE INTO note (id, current, deleted, cell) VALUES (?, ?, ?, ?)", id[:], r.Name[:], r.Deleted, int64(cell)); err != nil {
			return err
		}
		if !r.Deleted {
			in(cell).come = append(in(cell).come, &r.Note)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(cells)) {
		if err := repack(tx, id, cells[id].gone, cells[id].come); err != nil {
			return err
		}
	}
	return nil
}

// repack takes notes out of a cell and puts others in.
func repack(tx *sql.Tx, id cellID, gone map[Name]bool, come []*Note) error {
	var packed []byte
	if err := tx.QueryRow("SELECT packed FROM cell WHERE id = ?", int64(id)).Scan(&packed); err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	var out []byte
	for rest := packed; len(rest) > 0; {
		note, after, err := cut(rest)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrDamaged, err)
		}
		if !gone[Name(note[:32])] {
			out = append(out, rest[:len(rest)-len(after)]...)
		}
		rest = after
	}
	for _, n := range come {
		out = pack(out, n)
	}
	if len(out) == 0 {
		_, err := tx.Exec("DELETE FROM cell WHERE id = ?", int64(id))
		return err
	}
	_, err := tx.Exec("INSERT OR REPLACE INTO cell (id, packed) VALUES (?, ?)", int64(id), out)
	return err
}
