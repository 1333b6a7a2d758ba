package calendar

import (
	"strings"
	"testing"
)

// An invented school year; the usual holidays are our reading of English ones.
func school(t *testing.T) School {
	t.Helper()
	terms, err := NewTerms([]Span{
		{Date{2026, 11, 2}, Date{2026, 12, 18}}, {Date{2026, 9, 2}, Date{2026, 10, 23}},
	}, "Jul 25-Aug 31; Dec 22-Jan 02")
	if err != nil {
		t.Fatal(err)
	}
	return School{ParseHours("Mo-Fr 08:15-09:15,14:45-15:45"), terms}
}

func TestSchoolAt(t *testing.T) {
	s := london(t)
	s.PublicHoliday = func(d Date) Answer { return yes(d == Date{2026, 5, 4}) }
	for _, c := range []struct {
		name, at string
		want     Answer
		assumed  bool
	}{
		{"a Tuesday of a listed term", "2026-09-08 08:30", Yes, false},
		{"the first minute", "2026-09-08 08:15", Yes, false},
		{"the first minute after", "2026-09-08 09:15", No, false},
		{"a Saturday", "2026-09-12 08:30", No, false},
		{"between two listed terms", "2026-10-27 08:30", No, false},
		{"the last day of term", "2026-12-18 15:00", Yes, false},
		{"after the last listed term, in the usual term", "2027-01-12 08:30", Yes, true},
		{"after the last listed term, in the usual holidays", "2026-12-22 08:30", No, true},
		{"before the first, in the usual summer holidays", "2026-08-12 08:30", No, true},
		{"before the first, in the usual term", "2026-05-05 08:30", Yes, true},
		{"a public holiday", "2026-05-04 08:30", No, false},
	} {
		got, assumed := school(t).At(s, clockTime(t, s, c.at))
		if got != c.want || assumed != c.assumed {
			t.Errorf("%s, %s: busy %v, assumed %v; want %v, %v", c.name, c.at, got, assumed, c.want, c.assumed)
		}
	}
}

func TestSchoolOver(t *testing.T) {
	s := london(t)
	for _, c := range []struct {
		from, until string
		want        Share
		assumed     bool
	}{
		{"2026-09-08 08:20", "2026-09-08 09:00", Always, false},
		{"2026-09-08 09:00", "2026-09-08 10:00", Sometimes, false},
		{"2026-09-08 10:00", "2026-09-08 12:00", Never, false},
		{"2026-10-27 08:00", "2026-10-27 10:00", Never, false},
		{"2026-05-05 08:00", "2026-05-05 10:00", Sometimes, true},
	} {
		got, assumed := school(t).Over(s, clockTime(t, s, c.from), clockTime(t, s, c.until))
		if got != c.want || assumed != c.assumed {
			t.Errorf("%s until %s: %v, assumed %v; want %v, %v", c.from, c.until, got, assumed, c.want, c.assumed)
		}
	}
}

func TestNewTermsSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		listed []Span
		usual  string
		want   string
	}{
		{[]Span{{Date{2026, 10, 23}, Date{2026, 9, 2}}}, "", "school term 2026-10-23 to 2026-09-02 ends before it begins"},
		{[]Span{{Date{2026, 9, 2}, Date{2026, 10, 23}}, {Date{2026, 10, 23}, Date{2026, 12, 1}}}, "", "overlap"},
		{nil, "all of August", `can't read "all of August"`},
	} {
		if _, err := NewTerms(c.listed, c.usual); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("NewTerms(%v, %q): %v, want %q", c.listed, c.usual, err, c.want)
		}
	}
}
