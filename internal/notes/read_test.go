package notes

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

const goodNote = `{"format":1,"clock":[5,0],"author":"AB","kind":"width","width_m":5.5,"how":"tape","kerb":"w1+5l","at":[-1,52],"heading_deg":10,"date":"2027-03-04"}`

// A stranger's note is read or refused in a sentence that names the member.
func TestReadRefuses(t *testing.T) {
	if _, err := Read([]byte(goodNote)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"format", `"format":1`, `"format":0`, "format"},
		{"clock", `"clock":[5,0],`, ``, "clock"},
		{"clock of the far future", `[5,0]`, `[9007199254740991,0]`, "2200"},
		{"author", `"AB"`, `""`, "initials"},
		{"author with a line", `"AB"`, `"A\nB"`, "initials"},
		{"kerb", `w1+5l`, `w1`, "kerb"},
		{"position", `[-1,52]`, `[-1,152]`, "position"},
		{"heading", `"heading_deg":10`, `"heading_deg":1000`, "heading"},
		{"date", `2027-03-04`, `2027-13-04`, "2027-13-04"},
		{"width", `"width_m":5.5`, `"width_m":0.2`, "1 or more"},
		{"wide", `"width_m":5.5`, `"width_m":5e9`, "length"},
		{"how", `,"how":"tape"`, ``, "how it was measured"},
		{"type", `"width_m":5.5`, `"width_m":"5.5"`, "wrong type"},
		{"text", `"how":"tape"`, `"how":"tape","text":"` + strings.Repeat("a", mostText+1) + `"`, "longer"},
		{"size", `"how":"tape"`, `"how":"tape","x":"` + strings.Repeat("a", mostBytes) + `"`, "more than a note"},
		{"time", `"how":"tape"`, `"how":"tape","time":"25:00"`, "time of day"},
		{"word", `"width"`, `"parked"`, "one of the words"},
		{"hours", `"width"`, `"bins"`, "hours"},
		{"text of text", `"width"`, `"text"`, "its text"},
		{"suits", `"width"`, `"suits"`, "words"},
		{"order of days", `"how":"tape"`, `"how":"tape","from":"2027-03-05","until":"2027-03-04"`, "before it begins"},
		{"note", `"how":"tape"`, `"how":"tape","note":"12"`, "name of a revision"},
	} {
		text := strings.Replace(goodNote, c.old, c.new, 1)
		if text == goodNote {
			t.Fatalf("%s: nothing was changed", c.name)
		}
		_, err := Read([]byte(text))
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want an error with %q", c.name, err, c.want)
		}
	}
}

// What is written reads back the same, from JSON and packed.
func TestRoundTrip(t *testing.T) {
	const seed = 2
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 500 {
		n := sayAnything(rng, anyPlace(rng))
		n.Clock = Clock{rng.Int64N(lastMs), rng.Int64N(100)}
		r, err := First(n)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Read(r.JSON)
		if err != nil || !reflect.DeepEqual(again, r) {
			t.Fatalf("Read(%s) = %+v, %v", r.JSON, again, err)
		}
		packed := Pack([]Note{r.Note})
		got, err := packed.notes[0].note()
		if err != nil {
			t.Fatal(err)
		}
		want := r.Note
		want.Name = Name{}
		if fmt.Sprintf("%.7v", got) != fmt.Sprintf("%.7v", want) {
			t.Fatalf("packed is\n%+v, want\n%+v", got, want)
		}
	}
}

func collection(notes ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(notes, ",") + `]}`
}

// A stranger's file is taken in whole or refused in one sentence.
func TestReadGeoJSONRefuses(t *testing.T) {
	r, err := Read([]byte(goodNote))
	if err != nil {
		t.Fatal(err)
	}
	feature := func(id string) string {
		return `{"type":"Feature","id":"` + id + `","geometry":null,"properties":` + goodNote + `}`
	}
	good := feature(r.Name.String())
	for _, text := range []string{collection(), collection(good), `{"x":{"y":[1]},"features":[` + good + `],"type":"FeatureCollection"}`} {
		if _, err := ReadGeoJSON(strings.NewReader(text)); err != nil {
			t.Errorf("ReadGeoJSON(%s) = %v", text, err)
		}
	}
	for _, c := range []struct{ name, text, want string }{
		{"nothing", ``, "unexpected EOF"},
		{"cut", collection(good)[:200], "unexpected EOF"},
		{"no collection", `[]`, "FeatureCollection"},
		{"another type", `{"type":"Topology","features":[]}`, "FeatureCollection"},
		{"no features", `{"type":"FeatureCollection"}`, "FeatureCollection"},
		{"features twice", `{"features":[],"features":[],"type":"FeatureCollection"}`, "twice"},
		{"changed", collection(feature(strings.Repeat("0", 64))), "feature 1: its content does not have its name"},
		{"no note", collection(good, `{"type":"Feature","properties":null}`), "feature 2"},
		{"more after it", collection(good) + `{}`, "after the end"},
		{"deep", `{"x":` + strings.Repeat("[", 1000) + strings.Repeat("]", 1000) + `}`, "deep"},
	} {
		_, err := ReadGeoJSON(strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want an error with %q", c.name, err, c.want)
		}
	}
}

// endless is a file without end.
type endless struct{ head string }

func (e *endless) Read(b []byte) (int, error) {
	if e.head == "" {
		for i := range b {
			b[i] = ' '
		}
		return len(b), nil
	}
	n := copy(b, e.head)
	e.head = e.head[n:]
	return n, nil
}

func TestReadGeoJSONIsBounded(t *testing.T) {
	if _, err := ReadGeoJSON(&endless{`{"type":`}); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a file without end: %v", err)
	}
}

func FuzzReadGeoJSON(f *testing.F) {
	r, err := Read([]byte(goodNote))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(collection(`{"type":"Feature","id":"` + r.Name.String() + `","properties":` + goodNote + `}`))
	f.Fuzz(func(t *testing.T, text string) {
		all, err := ReadGeoJSON(strings.NewReader(text))
		if err != nil && strings.Contains(err.Error(), "\n") {
			t.Errorf("more than a sentence: %q", err)
		}
		for _, r := range all {
			if again, err := Read(r.JSON); err != nil || again.Name != r.Name {
				t.Errorf("%s does not read back: %v", r.JSON, err)
			}
		}
	})
}

// A damaged cell is an error, and never more.
func FuzzUnpack(f *testing.F) {
	r, err := Read([]byte(goodNote))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(pack(nil, &r.Note))
	f.Fuzz(func(t *testing.T, cell []byte) {
		var p Packed
		if p.add(cell) != nil {
			return
		}
		for _, n := range p.notes {
			n.note()
		}
	})
}

func TestWordsOfEnumerations(t *testing.T) {
	seen := map[string]bool{}
	for k := KindUnknown; k < kindCount; k++ {
		if k.String() == "" || seen[k.String()] {
			t.Errorf("kind %d has the word %q", k, k)
		}
		seen[k.String()] = true
		if back, ok := KindOf(k.String()); ok != (k != KindUnknown) || back != k {
			t.Errorf("KindOf(%q) = %v, %v", k, back, ok)
		}
		for _, w := range k.Words() {
			if back, ok := k.WordOf(w.String()); !ok || back != w {
				t.Errorf("%v.WordOf(%q) = %v, %v", k, w, back, ok)
			}
		}
		n := Note{Kind: k, Text: "x", Minute: -1}
		if n.Says() == "" {
			t.Errorf("kind %v says nothing", k)
		}
		for _, w := range k.Words() {
			n.Word = w
			if n.Says() == "" {
				t.Errorf("kind %v, word %v says nothing", k, w)
			}
		}
	}
	for m := MethodUnknown; m < methodCount; m++ {
		if back, ok := MethodOf(m.String()); m.String() == "" || ok != (m != MethodUnknown) || back != m || methodSaid[m] == "" {
			t.Errorf("MethodOf(%q) = %v, %v", m, back, ok)
		}
	}
	for w := WordUnknown; w < wordCount; w++ {
		if w.String() == "" {
			t.Errorf("word %d has no word", w)
		}
	}
	for r := RestUnknown; r < restCount; r++ {
		if r.String() == "" {
			t.Errorf("rest %d has no word", r)
		}
	}
	for _, reason := range []error{ErrLocked, ErrDamaged, ErrNotOurs, ErrOtherVersion, ErrFull, ErrReadOnly, ErrDisk} {
		if mends[reason] == "" {
			t.Errorf("%v has no mend", reason)
		}
	}
}
