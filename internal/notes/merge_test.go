package notes

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/internal/calendar"
)

// person is one instructor with notes of their own and a clock that runs wrong.
type person struct {
	name  string
	store *Store
	clock func() time.Time
	knows map[Name]bool // revisions that were held at some time
}

// made is a revision with what its author knew of the note then.
type made struct {
	Revision
	knew []Name // revisions of the same note
}

// history lets three people note, delete, bring back and hand over for a while,
// and gives all that was made.
func history(t *testing.T, rng *rand.Rand) ([]*person, []made) {
	day := calendar.DateOf(wall)
	var people []*person
	for i, name := range []string{"AB", "CD", "EF"} {
		at := wall.Add(time.Duration(rng.IntN(3)-1) * time.Duration(rng.Int64N(int64(10*365*24*time.Hour))))
		step := time.Duration(rng.IntN(3)-1) * time.Minute // one may even run backwards
		if i == 0 {
			at, step = wall, time.Second
		}
		people = append(people, &person{name: name, store: store(t), knows: map[Name]bool{}, clock: func() time.Time {
			at = at.Add(step)
			return at
		}})
	}
	var all []made
	for range historyLength {
		p := people[rng.IntN(3)]
		switch rng.IntN(4) {
		case 0, 1:
			n := sayAnything(rng, anyPlace(rng))
			n.Author = p.name
			r, err := p.store.Add(n, p.clock())
			if err != nil {
				t.Fatal(err)
			}
			p.knows[r.Name] = true
			all = append(all, made{Revision: r})
		case 2:
			var current []Revision
			if err := p.store.Current(func(r Revision) error { current = append(current, r); return nil }); err != nil {
				t.Fatal(err)
			}
			if len(current) == 0 {
				continue
			}
			r := current[rng.IntN(len(current))]
			next, err := p.store.SetDeleted(r.ID, !r.Deleted, p.name, p.clock())
			if err != nil {
				t.Fatal(err)
			}
			m := made{Revision: next}
			for _, old := range all {
				if old.ID == next.ID && p.knows[old.Name] {
					m.knew = append(m.knew, old.Name)
				}
			}
			p.knows[next.Name] = true
			all = append(all, m)
		case 3:
			from := people[rng.IntN(3)]
			if from == p {
				continue
			}
			if _, err := p.store.Import(revisionsOf(t, from.store), from.name, day); err != nil {
				t.Fatal(err)
			}
			for name := range from.knows {
				p.knows[name] = true
			}
		}
	}
	return people, all
}

func revisionsOf(t *testing.T, s *Store) (all []Revision) {
	t.Helper()
	text := exported(t, s)
	all, err := ReadGeoJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func exported(t *testing.T, s *Store) string {
	t.Helper()
	var b strings.Builder
	if _, err := s.Export(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// said is what the notes of a store say now: name, current revision, deleted;
// and the same of what is packed.
func said(t *testing.T, s *Store) string {
	t.Helper()
	var b strings.Builder
	live := map[Name]bool{}
	if err := s.Current(func(r Revision) error {
		b.WriteString(r.ID.String() + " " + r.Name.String() + "\n")
		if !r.Deleted {
			live[r.ID] = true
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	packed, err := s.Within(earth)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range packed.notes {
		if !live[p.id()] {
			t.Errorf("note %s is packed and deleted", p.id().Short())
		}
		delete(live, p.id())
	}
	if len(live) > 0 {
		t.Errorf("%d notes are not packed", len(live))
	}
	return b.String()
}

// Merging is the union of sets (commutative, associative, idempotent), loses
// nothing, and what was known to whoever deleted a note does not bring it back.
func TestMergeLaws(t *testing.T) {
	const seed = 3
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	day := calendar.DateOf(wall)
	for range histories {
		people, all := history(t, rng)
		sets := make([][]Revision, 3)
		for i, p := range people {
			sets[i] = revisionsOf(t, p.store)
		}
		// Every order, one of them twice over, into an empty store.
		var want, says string
		for k, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 0, 2, 1, 0, 2, 2}} {
			s := store(t)
			for _, i := range order {
				if _, err := s.Import(sets[i], people[i].name, day); err != nil {
					t.Fatal(err)
				}
			}
			if k == 0 {
				want, says = exported(t, s), said(t, s)
			} else if exported(t, s) != want || said(t, s) != says {
				t.Fatalf("order %v comes to another end", order)
			}
		}
		// In pairs: (0 ∪ 1) ∪ 2 and 0 ∪ (1 ∪ 2) at the people's own.
		for i, p := range people {
			for j := range people {
				if j != i {
					if _, err := p.store.Import(sets[j], people[j].name, day); err != nil {
						t.Fatal(err)
					}
				}
			}
			if exported(t, p.store) != want || said(t, p.store) != says {
				t.Fatalf("%s has other notes than the rest after all met", p.name)
			}
		}
		nothingLost(t, want, all)
		causes(t, all)
	}
}

// nothingLost looks for every revision that was ever made.
func nothingLost(t *testing.T, text string, all []made) {
	t.Helper()
	if got := strings.Count(text, `"type":"Feature",`); got != len(all) {
		t.Errorf("%d revisions of %d made are left", got, len(all))
	}
	for _, m := range all {
		if !strings.Contains(text, m.Name.String()) {
			t.Errorf("revision %s is lost", m.Name.Short())
		}
	}
}

// causes holds revisions to what their authors knew, however wrong the clocks:
// one outranks all that it was made after.
func causes(t *testing.T, all []made) {
	t.Helper()
	byName := map[Name]made{}
	for _, m := range all {
		byName[m.Name] = m
	}
	for _, m := range all {
		for _, before := range m.knew {
			if b := byName[before]; !m.After(&b.Note) {
				t.Errorf("revision %s (clock %v) does not outrank %s (%v), which its author knew", m.Name.Short(), m.Clock, before.Short(), b.Clock)
			}
		}
	}
	// A deletion after which nobody brought the note back stands.
	last := map[Name]made{}
	for _, m := range all {
		if old, ok := last[m.ID]; !ok || m.After(&old.Note) {
			last[m.ID] = m
		}
	}
	for _, m := range all {
		if !m.Deleted || last[m.ID].Deleted {
			continue
		}
		if slices.Contains(m.knew, last[m.ID].Name) {
			t.Errorf("note %s was deleted by somebody who knew its last revision, and is back", m.ID.Short())
		}
	}
}

// Undoing an import takes back what came from it alone; own notes, what another
// import brought too, and one's own changes to a colleague's notes stay.
func TestUndoImport(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 0))
	day := calendar.DateOf(wall)
	mine, ann, bob := store(t), store(t), store(t)
	add := func(s *Store, author string) Revision {
		n := sayAnything(rng, anyPlace(rng))
		n.Author = author
		r, err := s.Add(n, wall)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	own := add(mine, "ME")
	alone, shared, touched := add(ann, "AN"), add(ann, "AN"), add(ann, "AN")
	if _, err := bob.Import([]Revision{shared}, "ann", day); err != nil {
		t.Fatal(err)
	}
	first, err := mine.Import(revisionsOf(t, ann), "ann.geojson", day)
	if err != nil {
		t.Fatal(err)
	}
	if first.New != 3 {
		t.Errorf("the import brought %d revisions, want 3", first.New)
	}
	if _, err := mine.Import(revisionsOf(t, bob), "bob.geojson", day); err != nil {
		t.Fatal(err)
	}
	mark, err := mine.SetDeleted(touched.ID, true, "", wall)
	if err != nil {
		t.Fatal(err)
	}
	if mark.Author != "ME" {
		t.Errorf("the deletion is by %q, want by whoever noted last here", mark.Author)
	}
	removed, err := mine.Undo(first.ID)
	if err != nil || removed != 2 {
		t.Errorf("Undo = %d, %v, want 2", removed, err)
	}
	text := exported(t, mine)
	for _, c := range []struct {
		what string
		name Name
		left bool
	}{{"my own note", own.Name, true}, {"what only she had", alone.Name, false}, {"what he had too", shared.Name, true}, {"what I deleted", touched.Name, false}, {"my deletion", mark.Name, true}} {
		if strings.Contains(text, `"id":"`+c.name.String()) != c.left {
			t.Errorf("%s: left is %v, want %v", c.what, !c.left, c.left)
		}
	}
	said(t, mine)
	if _, err := mine.Undo(first.ID); err == nil {
		t.Error("an import can be undone twice")
	}
	again, err := mine.Import(revisionsOf(t, ann), "ann.geojson", day)
	if err != nil || again.New != 2 {
		t.Errorf("the import again brought %d, %v, want 2", again.New, err)
	}
	var current Revision
	if err := mine.Current(func(r Revision) error {
		if r.ID == touched.ID {
			current = r
		}
		return nil
	}); err != nil || !current.Deleted {
		t.Errorf("what I deleted is back by another import: %v", err)
	}
}

// Members that this version does not know go through deletion, export and
// import unchanged, and so do kinds.
func TestUnknownMembersStay(t *testing.T) {
	r, err := Read([]byte(`{"format":2,"clock":[1,0],"author":"AB","kind":"hedge","kerb":"w1+5l","at":[-1,52],"heading_deg":10,"date":"2027-03-04",
		"height_m":2.50,"seen":{"by":["x",null,1e3]}}`))
	if err != nil {
		t.Fatal(err)
	}
	if r.Kind != KindUnknown {
		t.Errorf("kind is %v", r.Kind)
	}
	s := store(t)
	if _, err := s.Import([]Revision{r}, "new.geojson", calendar.DateOf(wall)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SetDeleted(r.ID, true, "CD", wall); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SetDeleted(r.ID, false, "CD", wall); err != nil {
		t.Fatal(err)
	}
	for _, r := range revisionsOf(t, s) {
		if !bytes.Contains(r.JSON, []byte(`"height_m":2.5,`)) || !bytes.Contains(r.JSON, []byte(`"seen":{"by":["x",null,1000]}`)) || !bytes.Contains(r.JSON, []byte(`"kind":"hedge"`)) {
			t.Errorf("members are lost: %s", r.JSON)
		}
	}
}

// A clock never falls behind what it saw: Kulkarni and others, "Logical Physical
// Clocks", 2014, theorem 1, for histories of local events and receipts.
func TestClock(t *testing.T) {
	at := func(ms int64) time.Time { return time.UnixMilli(ms) }
	for _, c := range []struct {
		held Clock
		wall int64
		want Clock
	}{
		{Clock{}, 10, Clock{10, 0}},
		{Clock{10, 0}, 10, Clock{10, 1}},
		{Clock{10, 3}, 9, Clock{10, 4}},
		{Clock{10, 3}, 11, Clock{11, 0}},
		{Clock{10, 3}, lastMs + 1, Clock{10, 4}},
	} {
		got := c.held.Next(at(c.wall))
		if got != c.want || got.Compare(c.held) <= 0 {
			t.Errorf("%v.Next(%d) = %v, want %v", c.held, c.wall, got, c.want)
		}
	}
	if (Clock{1, 2}).Compare(Clock{1, 2}) != 0 {
		t.Error("a clock differs from itself")
	}
}
