package calendar

import "testing"

// Kleene's tables, 1938: what a proposition that is still open may become.
func TestAnswersKeepWhatEveryOutcomeAgreesOn(t *testing.T) {
	all := []Answer{Unknown, No, Yes}
	outcomes := func(a Answer) []Answer {
		if a == Unknown {
			return []Answer{No, Yes}
		}
		return []Answer{a}
	}
	for _, a := range all {
		for _, b := range all {
			and, or := map[Answer]bool{}, map[Answer]bool{}
			for _, x := range outcomes(a) {
				for _, y := range outcomes(b) {
					and[yes(x == Yes && y == Yes)] = true
					or[yes(x == Yes || y == Yes)] = true
				}
			}
			only := func(m map[Answer]bool) Answer {
				switch {
				case len(m) > 1:
					return Unknown
				case m[Yes]:
					return Yes
				}
				return No
			}
			if got := a.And(b); got != only(and) {
				t.Errorf("%v and %v = %v, want %v", a, b, got, only(and))
			}
			if got := a.Or(b); got != only(or) {
				t.Errorf("%v or %v = %v, want %v", a, b, got, only(or))
			}
		}
		if got := a.Not().Not(); got != a {
			t.Errorf("not not %v = %v", a, got)
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Unknown.String(), "unknown"}, {No.String(), "no"}, {Yes.String(), "yes"},
		{ShareUnknown.String(), "unknown"}, {Never.String(), "never"}, {Sometimes.String(), "sometimes"}, {Always.String(), "always"},
		{LightUnknown.String(), "unknown"}, {Dark.String(), "dark"}, {Twilight.String(), "twilight"}, {Daylight.String(), "daylight"},
	} {
		if c.got != c.want {
			t.Errorf("String() = %q, want %q", c.got, c.want)
		}
	}
}

func TestZonesAndDates(t *testing.T) {
	for _, name := range []string{"", "Local", "Europe/Atlantis", "../etc"} {
		if _, err := Zone(name); err == nil {
			t.Errorf("Zone(%q) is found", name)
		}
	}
	if _, err := ParseDate("2.9.2026"); err == nil {
		t.Error("2.9.2026 is read")
	}
	if d, err := ParseDate("2024-02-29"); err != nil || d.Add(1).String() != "2024-03-01" || d.Add(-60).String() != "2023-12-31" {
		t.Errorf("2024-02-29 = %v (%v), a day later %v, 60 earlier %v", d, err, d.Add(1), d.Add(-60))
	}
}
