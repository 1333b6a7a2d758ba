package web_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loopwright/internal/browsertest"
	"loopwright/internal/desk"
)

// ownNotes gives a test notes of its own.
func ownNotes(t *testing.T) { t.Setenv("LOOPWRIGHT_DIR", t.TempDir()) }

// Today's roads: one tap each, and the next plan heeds it.
func TestToday(t *testing.T) {
	ownNotes(t)
	now := time.Now().Format("2006-01-02")
	p, at := visit(t, browsertest.Start(t), strings.Replace(wish, "2027-03-04", now, 1))
	planned(p)
	p.Click("#keep")
	p.Until("location.pathname.startsWith('/plan/')")
	p.Go(at + "/today")
	p.Until("document.querySelector('.today li')")
	look(t, p, "today-roads")
	p.Type("#by", "AB")
	place := browsertest.Eval[string](p, "document.querySelector('.today strong').textContent")
	p.Click(".today button[value='use']")
	p.Until("document.querySelector('.today li .noted')")
	p.Click(".today button[value='never']")
	p.Until("document.querySelectorAll('.today li .noted').length === 2")
	look(t, p, "today-noted")
	p.Go(at + strings.Replace(wish, "2027-03-04", now, 1))
	planned(p)
	if got := browsertest.Eval[string](p, "document.querySelector('.practice strong').textContent"); got == place {
		t.Errorf("it practises in %s again, of which a note says never", got)
	}
}

// A note from a clicked road: a click on the road, one tap, and one to take it
// back. What is known of the road follows.
func TestNoteAClickedRoad(t *testing.T) {
	ownNotes(t)
	p, _ := visit(t, browsertest.Start(t), "/look?exercise=turn-in-the-road")
	p.Until("document.querySelector('.plain .row')")
	browsertest.Eval[bool](p, "localStorage.setItem('loopwright.initials', 'AB'), loopwright.drawn()")
	p.Click("nav a[href='/look']") // where the initials are known
	p.Until("document.querySelector('.plain .row') && !document.querySelector('#sheet [aria-busy]')")
	browsertest.Eval[bool](p, "loopwright.drawn()")
	kerb := browsertest.Eval[string](p, "document.querySelector('li[data-kerb]').dataset.kerb")
	spot := browsertest.Eval[[]float64](p, fmt.Sprintf("loopwright.mark(%q)", kerb))
	p.ClickAt(spot[0], spot[1])
	p.Until("document.querySelector('.noting')")
	was := browsertest.Eval[string](p, "document.querySelector('.why .verdict strong').textContent")
	road := browsertest.Eval[string](p, "document.querySelector('.why h2').textContent")

	p.Click(".noting button[value='never']")
	p.Until("document.querySelector('.noting .noted') && document.querySelector('.why .verdict.unsuitable')")
	look(t, p, "look-noted")
	if said := browsertest.Eval[string](p, "document.querySelector('.why').innerText"); !strings.Contains(said, "AB") {
		t.Errorf("it is not said whose note it is: %s", said)
	}
	rows := listed(t)
	if len(rows) != 1 || rows[0].Kind != "never" || !strings.Contains(road, rows[0].Road) {
		t.Fatalf("noted %+v, want that %s never again", rows, road)
	}

	p.Click(".noting .noted button")
	p.Until(fmt.Sprintf("!document.querySelector('.noting .noted') && document.querySelector('.why .verdict strong').textContent === %q", was))
	if rows := listed(t); len(rows) != 0 {
		t.Errorf("taken back, and still noted: %+v", rows)
	}
	for _, tap := range []string{"yes", "no", "both sides"} {
		value := strings.Replace(tap, "both sides", "parked", 1)
		p.Click(fmt.Sprintf(".noting button[value=%q]", value))
		p.Until("document.querySelector('.noting .noted')")
		browsertest.Eval[bool](p, "document.querySelector('.noting .said').replaceChildren(), true")
	}
	if rows := listed(t); len(rows) != 3 {
		t.Errorf("three taps noted %+v", rows)
	}
}

// Nobody's note is none: initials are asked for once, and the tap then holds.
func TestNoteAsksWhoseItIs(t *testing.T) {
	ownNotes(t)
	p, _ := visit(t, browsertest.Start(t), "/look?exercise=turn-in-the-road")
	p.Click(".plain details:not([open]) summary, .plain button.row")
	p.Click(".plain li[data-kerb] button.row")
	p.Click(".noting button[value='parked']")
	p.Until("document.activeElement.id === 'by'")
	p.Press("AB\t")
	p.Until("document.querySelector('.noting .noted')")
	if rows := listed(t); len(rows) != 1 || rows[0].Author != "AB" {
		t.Errorf("noted %+v", rows)
	}
}

// listed is what the user's notes say now.
func listed(t *testing.T) []desk.NoteRow {
	t.Helper()
	b, err := desk.OpenNotes()
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	rows, err := b.List(nil, false)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// give puts a file into a field for files, as a user who chooses one does.
func give(p *browsertest.Page, selector, name string, content []byte) {
	browsertest.Eval[bool](p, fmt.Sprintf(`(() => {
		const list = new DataTransfer(), field = document.querySelector(%q);
		list.items.add(new File([%q], %q));
		field.files = list.files;
		field.dispatchEvent(new Event("change"));
		return true;
	})()`, selector, content, name))
}

// A colleague's notes are seen before they are added, and taken back as a whole;
// what is handed on is the command line's file.
func TestShareNotes(t *testing.T) {
	ownNotes(t)
	d, err := desk.Open(must(town()))
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []desk.NoteRequest{{Kind: "parked", Value: "both sides"}, {Kind: "never"}} {
		n.At, n.By, n.Now = "Eastlands Road & Saxmoor Road", "CD", today
		if _, err := d.AddNote(n); err != nil {
			t.Fatal(err)
		}
	}
	var theirs strings.Builder
	if _, err := d.Notes().ExportTo(&theirs); err != nil {
		t.Fatal(err)
	}
	d.Close()

	ownNotes(t)
	p, at := visit(t, browsertest.Start(t), "/notes")
	p.Until("document.querySelector('#notes-file')")
	look(t, p, "notes-none")
	give(p, "#notes-file", "from-cd.geojson", []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":{}}]}`))
	p.Until("document.querySelector('#sheet .trouble')")
	look(t, p, "notes-bad-file")
	give(p, "#notes-file", "from-cd.geojson", []byte(theirs.String()))
	p.Until("document.querySelector('#add')")
	look(t, p, "notes-preview")
	if rows := listed(t); len(rows) != 0 {
		t.Fatalf("only looked at, and added: %+v", rows)
	}
	p.Click("#add")
	p.Until("document.querySelector('#take-back') && document.querySelectorAll('.rows li').length === 2")
	look(t, p, "notes-added")
	out := filepath.Join(t.TempDir(), "notes.geojson")
	b, err := desk.OpenNotes()
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.Export(out)
	b.Close()
	if want, readErr := os.ReadFile(out); err != nil || readErr != nil || string(get(t, at+"/api/notes/file")) != string(want) {
		t.Errorf("the file for colleagues differs from the command line's (%v, %v)", err, readErr)
	}
	p.Click("#take-back")
	p.Until("!document.querySelector('.rows')")
	if rows := listed(t); len(rows) != 0 {
		t.Errorf("taken back, and still here: %+v", rows)
	}
}

// A plan that a colleague sent is opened, read against this map, and kept.
func TestReceiveAPlan(t *testing.T) {
	ownNotes(t)
	d, err := desk.Open(must(town()))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	made, err := d.Plan(desk.PlanRequest{From: "Eastlands Road & Saxmoor Road", Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04 10:00", Now: today, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	place := made.Circuit.Practice
	p, at := visit(t, browsertest.Start(t), "/more")
	give(p, "#received", "from-cd.geojson", made.File)
	planned(p)
	p.Until("document.querySelector('.holds')")
	look(t, p, "plan-received")
	p.Click("#keep")
	p.Until("document.querySelector('#keep').textContent === 'Kept'")

	// Used the day before: who opens it again is told.
	if _, err := d.AddNote(desk.NoteRequest{Kind: "use", At: place.Kerb, By: "EF", On: "2027-03-03", Exercise: place.Exercise, Now: today}); err != nil {
		t.Fatal(err)
	}
	p.Go(at + "/plan/" + desk.PlanID(made.File))
	p.Until("document.querySelector('.holds li')")
	look(t, p, "plan-rests")
	if said := browsertest.Eval[string](p, "document.querySelector('.holds').innerText"); !strings.Contains(said, "EF") || !strings.Contains(said, place.Road) {
		t.Errorf("of a place that was used yesterday it says %q", said)
	}

	p.Go(at + "/more")
	p.Until("document.querySelector('#received')")
	give(p, "#received", "holiday.geojson", []byte(`{"type":"FeatureCollection","features":[]}`))
	p.Until("document.querySelector('#status.failed')")
}
