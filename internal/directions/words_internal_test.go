package directions

import (
	"strings"
	"testing"

	"loopwright/data"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

func TestTable(t *testing.T) {
	text, err := data.Tables.ReadFile("sentences.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := parseTable(text); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"a form missing", "    fork:", "    fark:", `no form "fork"`},
		{"a form too many", "    fork:", "    fark: x\n    fork:", "1 forms too many"},
		{"no ordinals", "    ordinals: [", "    ordinols: [", "no ordinals"},
		{"words that nobody has", "gb: british", "gb: welsh", `"welsh", which has no words`},
		{"an unknown key", "joined_m:", "joint_m:", "joint_m"},
	} {
		changed := strings.Replace(string(text), c.old, c.new, 1)
		if _, err := parseTable([]byte(changed)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: parseTable = %v, want %q", c.name, err, c.want)
		}
	}
}

// Every form of every way of speaking fills, leaves no brace, has three parts
// where it is a sentence, and keeps from "straight on", and from "right" where
// it could be heard as "correct" (common practice among instructors).
func TestForms(t *testing.T) {
	for _, p := range country.All() {
		w := wordsOf(p)
		for f := MoveOff; f < formCount; f++ {
			b := blanks{side: roadnet.Left, nth: 2, road: "Mill {side} Lane", where: []string{"into Mill {nth} Lane"}, exercise: "turn", thing: "road"}
			full := w.fill(w.forms[f], b)
			rest := strings.NewReplacer("Mill {side} Lane", "", "Mill {nth} Lane", "").Replace(full)
			if strings.ContainsAny(rest, "{}") || strings.Contains(full, "straight") || strings.Contains(full, "right") {
				t.Errorf("%s, %s: %q", p.Code, f, full)
			}
			if parts := strings.Count(full, "|"); parts != 0 && parts != 2 {
				t.Errorf("%s, %s: %q has %d bars", p.Code, f, full, parts)
			}
			if strings.Contains(full, "|") {
				text := w.say(f, blanks{side: roadnet.Right, nth: 1, thing: "road"}).text()
				if strings.Contains(text, "  ") || strings.Contains(text, " ,") || strings.Contains(text, ",.") || text[:1] != strings.ToUpper(text[:1]) {
					t.Errorf("%s, %s with no where: %q", p.Code, f, text)
				}
			}
		}
	}
}

func TestEnumerations(t *testing.T) {
	seen := map[string]bool{}
	for k := range kindCount {
		if s := k.String(); s == "" || seen[s] {
			t.Errorf("Kind %d has the name %q", k, s)
		} else {
			seen[s] = true
		}
	}
	forms := map[string]bool{}
	for f := range formCount {
		if s := f.String(); s == "" || forms[s] {
			t.Errorf("Form %d has the name %q", f, s)
		} else {
			forms[s] = true
		}
	}
}

func TestOrdinals(t *testing.T) {
	w := theTable().spoken["british"]
	for n, want := range map[int]string{1: "first", 3: "third", 10: "tenth", 11: "11th", 21: "21st", 112: "112th"} {
		if got := w.ordinal(n); got != want {
			t.Errorf("ordinal(%d) = %q, want %q", n, got, want)
		}
	}
}

// What is joined to another sentence does not ask once more.
func TestJoinedAsksOnce(t *testing.T) {
	w := &writer{words: theTable().spoken["british"]}
	moveOff := w.words.say(MoveOff, blanks{})
	got := w.joined(moveOff, w.words.say(Signs, blanks{road: "B12"}), manoeuvre{form: Signs}).text()
	if want := "Move off when you are ready, then follow the signs for the B12."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
