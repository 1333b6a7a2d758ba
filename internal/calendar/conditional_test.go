package calendar

import (
	"slices"
	"strings"
	"testing"
)

// The first two values are examples of "Conditional restrictions",
// OpenStreetMap wiki (from memory); 2026-03-03 is a Tuesday.
func TestConditionalAt(t *testing.T) {
	car := map[string]float64{"weight": 1.4, "length": 4.0}
	for _, c := range []struct {
		text, value, at string
		measures        map[string]float64
		want            Answer
	}{
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "no", "2026-03-03 08:30", nil, Yes},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "no", "2026-03-03 12:00", nil, No},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "", "2026-03-03 12:00", nil, Yes},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "yes", "2026-03-03 08:30", nil, No},
		{"120 @ (06:00-20:00); 100 @ (22:00-06:00)", "100", "2026-03-03 23:00", nil, Yes},
		{"120 @ (06:00-20:00); 100 @ (22:00-06:00)", "", "2026-03-03 21:00", nil, Yes},
		// The last that holds counts.
		{"no @ (Mo-Fr); yes @ (Tu 10:00-12:00)", "yes", "2026-03-03 11:00", nil, Yes},
		{"no @ (Mo-Fr); yes @ (Tu 10:00-12:00)", "no", "2026-03-03 11:00", nil, No},
		{"no @ (Mo-Fr); yes @ (Tu 10:00-12:00)", "no", "2026-03-03 13:00", nil, Yes},
		// Without brackets, and with a rule list inside them.
		{"no @ Mo-Fr 08:00-09:30", "no", "2026-03-03 09:00", nil, Yes},
		{"no @ (Mo-Fr 08:00-09:30; Tu off)", "no", "2026-03-03 09:00", nil, No},
		{"no @ (sunset-01:00)-(sunrise+01:00)", "no", "2026-03-03 12:00", nil, No},
		{"no @ (sunset-01:00)-(sunrise+01:00)", "no", "2026-03-03 20:00", nil, Yes},
		{"no @ ((sunset-01:00)-(sunrise+01:00))", "no", "2026-03-03 12:00", nil, No},
		// Measures.
		{"no @ (weight>7.5)", "no", "2026-03-03 12:00", car, No},
		{"no @ (weight > 7.5 t)", "no", "2026-03-03 12:00", car, No},
		{"no @ (length>=4)", "no", "2026-03-03 12:00", car, Yes},
		{"no @ (weight>7.5)", "no", "2026-03-03 12:00", nil, Unknown},
		{"no @ (weight>7.5 lb)", "no", "2026-03-03 12:00", car, Unknown},
		{"no @ (axles>2)", "no", "2026-03-03 12:00", car, Unknown},
		// Both must hold; a no settles it, whatever the other is.
		{"no @ (08:00-09:30 AND weight>7.5)", "no", "2026-03-03 08:30", car, No},
		{"no @ (08:00-09:30 and wet)", "no", "2026-03-03 08:30", car, Unknown},
		{"no @ (08:00-09:30 AND wet)", "no", "2026-03-03 12:00", car, No},
		// What can't be read.
		{"no @ (wet)", "no", "2026-03-03 12:00", nil, Unknown},
		{"no @ (wet)", "yes", "2026-03-03 12:00", nil, No},
		{"no", "no", "2026-03-03 12:00", nil, Unknown},
		{"no @ (Mo-Fr 08:00-09:30", "no", "2026-03-03 12:00", nil, Unknown},
		{"no @", "no", "2026-03-03 12:00", nil, Unknown},
		{"@ (Mo)", "no", "2026-03-03 12:00", nil, Unknown},
		{"gibberish; no @ (24/7)", "no", "2026-03-03 12:00", nil, Yes},
		{"", "", "2026-03-03 12:00", nil, Yes},
	} {
		s := london(t)
		s.Measures = c.measures
		if got := ParseConditional(c.text).At(s, c.value, clockTime(t, s, c.at)); got != c.want {
			t.Errorf("%q: %q at %s = %v, want %v", c.text, c.value, c.at, got, c.want)
		}
	}
}

func TestConditionalOver(t *testing.T) {
	s := london(t)
	for _, c := range []struct {
		text, from, until string
		want              Share
	}{
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "2026-03-03 08:00", "2026-03-03 09:30", Always},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "2026-03-03 09:00", "2026-03-03 10:00", Sometimes},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "2026-03-03 09:30", "2026-03-03 15:00", Never},
		{"no @ (Mo-Fr 08:00-09:30,15:00-16:00)", "2026-03-03 07:00", "2026-03-03 17:00", Sometimes},
		{"no @ (wet)", "2026-03-03 09:30", "2026-03-03 15:00", ShareUnknown},
		{"no @ (08:00-09:30); no @ (10:00-12:00 AND wet)", "2026-03-03 09:00", "2026-03-03 11:00", Sometimes},
		{"no @ (08:00-09:30); no @ (10:00-12:00 AND wet)", "2026-03-03 09:45", "2026-03-03 11:00", ShareUnknown},
	} {
		if got := ParseConditional(c.text).Over(s, "no", clockTime(t, s, c.from), clockTime(t, s, c.until)); got != c.want {
			t.Errorf("%q from %s until %s = %v, want %v", c.text, c.from, c.until, got, c.want)
		}
	}
}

func TestConditionalValuesAndUnread(t *testing.T) {
	c := ParseConditional("30 @ (Mo-Fr 07:00-17:00); 50 @ (wet); 30 @ (Su); what")
	if got := c.Values(); !slices.Equal(got, []string{"30", "50"}) {
		t.Errorf("Values = %q", got)
	}
	if got := strings.Join(c.Unread(), " + "); got != "wet + what" {
		t.Errorf("Unread = %q", got)
	}
}
