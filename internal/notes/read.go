package notes

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"loopwright/internal/calendar"
)

// Within gives what the notes in a box say now, none that are deleted, in a
// fixed order without meaning.
func (s *Store) Within(b orb.Bound) (all Packed, err error) {
	err = s.read(func(c *sql.Conn) error {
		ctx := context.Background()
		south, north := int64(math.Floor(b.Min.Lat()*1e7))/cellE7-1, int64(math.Floor(b.Max.Lat()*1e7))/cellE7+1
		// One question for all rows: what lies east or west is passed over.
		rows, err := c.QueryContext(ctx, "SELECT id, packed FROM cell WHERE id BETWEEN ? AND ? ORDER BY id", int64(cellOf(south, -180)), int64(cellOf(north+1, -180)))
		if err != nil {
			return err
		}
		defer rows.Close()
		west, east := cellOf(0, b.Min.Lon())-1, cellOf(0, b.Max.Lon())+1
		for rows.Next() {
			var id int64
			var packed []byte
			if err := rows.Scan(&id, &packed); err != nil {
				return err
			}
			if column := cellID(id & (1<<32 - 1)); column < west || column > east {
				continue
			}
			if err := all.add(packed); err != nil {
				return fmt.Errorf("%w: %w", ErrDamaged, err)
			}
		}
		return rows.Err()
	})
	return all, err
}

// Revisions visits every revision, by clock and then by name, until visit gives
// an error. visit must not ask the Store.
func (s *Store) Revisions(visit func(Revision) error) error {
	return s.each("SELECT name, body FROM revision ORDER BY ms, count, name", visit)
}

// Current visits what each note says now, deleted ones too, in the same order.
func (s *Store) Current(visit func(Revision) error) error {
	return s.each("SELECT r.name, r.body FROM note n JOIN revision r ON r.name = n.current ORDER BY r.ms, r.count, r.name", visit)
}

// Find gives what the notes say now whose name begins so, deleted ones too.
func (s *Store) Find(beginning string) (all []Revision, err error) {
	err = s.each("SELECT r.name, r.body FROM note n JOIN revision r ON r.name = n.current WHERE lower(hex(n.id)) LIKE ? || '%' ORDER BY n.id LIMIT 10",
		func(r Revision) error {
			all = append(all, r)
			return nil
		}, beginning)
	return all, err
}

// OfCircuit gives what the notes say now that came with a circuit, those that are
// deleted left out, the oldest first.
func (s *Store) OfCircuit(id string) (all []Revision, err error) {
	err = s.each("SELECT r.name, r.body FROM note n JOIN revision r ON r.name = n.current WHERE instr(r.body, CAST(? AS BLOB)) > 0 ORDER BY r.ms, r.count, r.name",
		func(r Revision) error {
			if r.Circuit == id && !r.Deleted {
				all = append(all, r)
			}
			return nil
		}, id)
	return all, err
}

func (s *Store) each(query string, visit func(Revision) error, args ...any) error {
	return s.read(func(c *sql.Conn) error {
		rows, err := c.QueryContext(context.Background(), query, args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var name, body []byte
			if err := rows.Scan(&name, &body); err != nil {
				return err
			}
			r, err := held(name, body)
			if err != nil {
				return err
			}
			if err := visit(r); err != nil {
				return err
			}
		}
		return rows.Err()
	})
}

// Holds says of names which revisions are there.
func (s *Store) Holds(names []Name) (map[Name]bool, error) {
	held := map[Name]bool{}
	err := s.read(func(c *sql.Conn) error {
		ask, err := c.PrepareContext(context.Background(), "SELECT 1 FROM revision WHERE name = ?")
		if err != nil {
			return err
		}
		defer ask.Close()
		for _, n := range names {
			var one int
			switch err := ask.QueryRow(n[:]).Scan(&one); {
			case err == nil:
				held[n] = true
			case !errors.Is(err, sql.ErrNoRows):
				return err
			}
		}
		return nil
	})
	return held, err
}

// Batches are the imports that are not undone, oldest first.
func (s *Store) Batches() (all []Batch, err error) {
	err = s.read(func(c *sql.Conn) error {
		rows, err := c.QueryContext(context.Background(), "SELECT id, file, day FROM batch ORDER BY id")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var b Batch
			var day string
			if err := rows.Scan(&b.ID, &b.File, &day); err != nil {
				return err
			}
			if b.Day, err = calendar.ParseDate(day); err != nil {
				return fmt.Errorf("import %d of the notes: %w", b.ID, err)
			}
			all = append(all, b)
		}
		if err := rows.Err(); err != nil {
			return err
		}
		for i := range all {
			if err := c.QueryRowContext(context.Background(), aloneCount, all[i].ID).Scan(&all[i].New); err != nil {
				return err
			}
		}
		return nil
	})
	return all, err
}
