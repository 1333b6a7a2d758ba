package calendar

import (
	"flag"
	"fmt"
	"math/rand"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/paulmach/orb"
)

// london is a setting on the clock of London.
func london(t testing.TB) Setting {
	t.Helper()
	zone, err := Zone("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return Setting{Position: orb.Point{-0.1278, 51.5074}, Zone: zone}
}

func clockTime(t testing.TB, s Setting, text string) time.Time {
	t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", text, s.Zone)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// Minutes of 2026 in which the hours are open and unknown, on UTC, as computed
// by opening_hours.js 3.15.0 (npm), the reference implementation of the
// specification in OpenStreetMap's wiki; independent of this one.
func TestHoursOverAYear(t *testing.T) {
	s := Setting{Zone: time.UTC}
	for _, c := range []struct {
		text          string
		open, unknown int
	}{
		{`24/7`, 525600, 0},
		{`off`, 0, 0},
		{`open; Su off`, 450720, 0},
		{`Mo-Fr 08:00-09:30,15:00-16:00`, 39150, 0},
		{`Mo-Fr 08:00-18:00; We off`, 125400, 0},
		{`Mo-Fr 08:00-18:00; We 12:00-14:00 off`, 150360, 0},
		{`Mo-Fr 08:00-18:00; We 12:00-14:00`, 131640, 0},
		{`Mo-Fr 08:00-12:00, We 14:00-16:00`, 68880, 0},
		{`Mo-Su 22:00-06:00`, 175200, 0},
		{`Sa-Mo 10:00-26:00`, 149760, 0},
		{`Mar-Oct Mo-Fr 08:00-18:00; Nov-Feb Mo-Fr 09:00-16:00`, 141120, 0},
		{`Oct-Mar 18:00-06:00`, 131040, 0},
		{`Dec 24-26 off; Mo-Su 10:00-12:00`, 43800, 0},
		{`Mo-Su 10:00-12:00; Dec 24-Jan 02 off`, 42600, 0},
		{`2026 Mar 01-2026 Apr 15: Mo-Fr 10:00-12:00`, 3960, 0},
		{`2025-2026 Jun-Jul 10:00-12:00`, 7320, 0},
		{`2027+ We 12:00-13:00`, 0, 0},
		{`week 01-20/2 Mo-Fr 10:00-12:00`, 5640, 0},
		{`Sa[1] 10:00-12:00`, 1440, 0},
		{`Su[-1] 10:00-12:00`, 1440, 0},
		{`Th[2-3] 09:00-10:00`, 1440, 0},
		{`Sa[1,3] 10:00-14:00`, 5760, 0},
		{`Jan,Mar,May Tu,Th 08:00-10:00`, 3120, 0},
		{`Mo 10:00-12:00; Mo-We 11:00-13:00`, 18720, 0},
		{`08:00-12:00 || 10:00-14:00 unknown`, 87600, 43800},
		{`Mo-Fr 10:00-12:00 || "by appointment"`, 31320, 494280},
		{`Mo-Fr 10:00-18:00 open, Sa 10:00-12:00 unknown`, 125280, 6240},
		{`Mo-Fr 10:00-12:00; Mo-Fr 11:00-11:30 closed; Su 10:00-11:00`, 26610, 0},
		{`Th 20:00+`, 0, 31440},
		{`mo-fr 9:00-17:00`, 125280, 0},
		{`Monday-Friday 09:00-17:00`, 125280, 0},
	} {
		h := ParseHours(c.text)
		if unread := h.Unread(); len(unread) > 0 {
			t.Errorf("%q: can't read %q", c.text, unread)
		}
		var minutes [Yes + 1]int
		const step = 15 // every bound above is on a quarter of an hour
		for at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2026; at = at.Add(step * time.Minute) {
			minutes[h.At(s, at)] += step
		}
		if minutes[Yes] != c.open || minutes[Unknown] != c.unknown {
			t.Errorf("%q: open %d minutes, unknown %d; want %d and %d", c.text, minutes[Yes], minutes[Unknown], c.open, c.unknown)
		}
	}
}

func TestHoursAt(t *testing.T) {
	holiday := func(d Date) Answer { return yes(d == Date{2026, 12, 25}) }
	for _, c := range []struct {
		text, at string
		holidays func(Date) Answer
		want     Answer
	}{
		// 2026-03-03 is a Tuesday.
		{"Mo-Fr 08:00-09:30", "2026-03-03 08:00", nil, Yes},
		{"Mo-Fr 08:00-09:30", "2026-03-03 09:30", nil, No},
		{"Mo–Fr 08:00–09:30", "2026-03-03 09:29", nil, Yes},
		{"Fr-Mo 10:00-11:00", "2026-03-03 10:00", nil, No},
		{"Fr-Mo 10:00-11:00", "2026-03-02 10:00", nil, Yes},
		// What runs over midnight belongs to the evening before, whatever the
		// rules say of the morning's day.
		{"Fr 22:00-04:00; Sa 10:00-12:00", "2026-03-07 03:00", nil, Yes},
		{"Fr 22:00-04:00; Sa 10:00-12:00", "2026-03-07 04:00", nil, No},
		// An open end: known to be open until the stated end, unknown until
		// six, then over.
		{"Tu 08:00-18:45+", "2026-03-03 18:44", nil, Yes},
		{"Tu 08:00-18:45+", "2026-03-03 18:45", nil, Unknown},
		{"Tu 08:00-18:45+", "2026-03-04 05:59", nil, Unknown},
		{"Tu 08:00-18:45+", "2026-03-04 06:00", nil, No},
		// A holiday that can't be decided matters only where it changes the
		// answer.
		{"Mo-Fr 08:00-18:00; PH off", "2026-03-03 12:00", nil, Unknown},
		{"Mo-Fr 08:00-18:00; PH off", "2026-03-03 19:00", nil, No},
		{"Mo-Su 08:00-18:00; PH 10:00-16:00", "2026-03-03 12:00", nil, Yes},
		{"Mo-Su 08:00-18:00; PH 10:00-16:00", "2026-03-03 17:00", nil, Unknown},
		{"Mo-Fr 08:00-18:00; PH off", "2026-12-25 12:00", holiday, No},
		{"Mo-Fr 08:00-18:00; PH off", "2026-12-24 12:00", holiday, Yes},
		{"PH,Sa 10:00-12:00", "2026-12-25 11:00", holiday, Yes},
		{"PH Mo-We 10:00-12:00", "2026-12-25 11:00", holiday, No}, // a Friday
		{"PH Mo-We 10:00-12:00", "2026-03-07 11:00", nil, No},     // a Saturday
		{"SH 10:00-12:00", "2026-03-03 11:00", nil, Unknown},
		{"SH 10:00-12:00", "2026-03-03 13:00", nil, No},
		// Sunset in London on 2026-04-14 is at 19:55 (US Naval Observatory).
		{"sunset-23:00", "2026-04-14 19:50", nil, No},
		{"sunset-23:00", "2026-04-14 20:00", nil, Yes},
		{"(sunset-01:00)-23:00", "2026-04-14 19:00", nil, Yes},
		{"sunset-sunrise", "2026-04-14 05:30", nil, Yes},
		// What can't be read is unknown, unless a later rule has the day.
		{"by arrangement", "2026-03-03 12:00", nil, Unknown},
		{"by arrangement; Tu 10:00-13:00", "2026-03-03 12:00", nil, Yes},
		{"by arrangement; Tu 10:00-13:00", "2026-03-03 14:00", nil, No},
		{"by arrangement; Tu 10:00-13:00", "2026-03-05 12:00", nil, Unknown},
		{"Tu 10:00-13:00 || by arrangement", "2026-03-03 12:00", nil, Yes},
		{"Tu 10:00-13:00, and so on", "2026-03-03 12:00", nil, Unknown},
		{"", "2026-03-03 12:00", nil, No},
	} {
		s := london(t)
		s.PublicHoliday = c.holidays
		if got := ParseHours(c.text).At(s, clockTime(t, s, c.at)); got != c.want {
			t.Errorf("%q at %s = %v, want %v", c.text, c.at, got, c.want)
		}
	}
}

func TestNoSunriseIsUnknown(t *testing.T) {
	tromso := Setting{Position: orb.Point{18.956, 69.6496}, Zone: time.UTC}
	if got := ParseHours("sunrise-sunset").At(tromso, time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC)); got != Unknown {
		t.Errorf("sunrise-sunset on a polar day = %v, want unknown", got)
	}
}

func TestUnread(t *testing.T) {
	for text, want := range map[string]string{
		"Mo-Fr 08:00-18:00":                       "",
		"Mo-Fr 08:00-18:00;":                      "",
		"Mo-Fr: 08:00-18:00":                      "",
		`Mo-Fr 08:00-18:00 open "ring; wait"`:     "",
		"Mo-Fr 8-18":                              "Mo-Fr 8-18",
		"Mo-Fr 08:00":                             "Mo-Fr 08:00",
		"Mo-Fr 08:00-18:00 Sa 09:00-12:00":        "Mo-Fr 08:00-18:00 Sa 09:00-12:00",
		"Mo-Fr 08:00-18:00; Sa morning":           "Sa morning",
		"Mo-Fr 08:00-18:60":                       "Mo-Fr 08:00-18:60",
		"Mo-Fr 8am-6pm":                           "Mo-Fr 8am-6pm",
		"easter -2 days off":                      "easter -2 days off",
		"PH -1 day 10:00-12:00":                   "PH -1 day 10:00-12:00",
		"Jan 32 off":                              "Jan 32 off",
		"week 60 off":                             "week 60 off",
		"Mo-Fr Sa 10:00-12:00":                    "Mo-Fr Sa 10:00-12:00",
		"2026 Dec 25-2025 Jan 03 off":             "2026 Dec 25-2025 Jan 03 off",
		"Sa[6] 10:00-12:00":                       "Sa[6] 10:00-12:00",
		"10:00-16:00/01:30":                       "10:00-16:00/01:30",
		`"not closed`:                             `"not closed`,
		", Mo 10:00-12:00":                        ", Mo 10:00-12:00",
		"|| Mo 10:00-12:00":                       "nothing before a separator",
		"Mo 10:00-12:00; nach Vereinbarung; open": "nach Vereinbarung",
	} {
		if got := strings.Join(ParseHours(text).Unread(), " + "); got != want {
			t.Errorf("Unread(%q) = %q, want %q", text, got, want)
		}
	}
}

var seed = flag.Int64("seed", 1, "seed of the random tests")

// A span of time against every minute of it, on random hours, over the days on
// which London's clocks change.
func TestOverAgreesWithEveryMinute(t *testing.T) {
	t.Logf("seed %d", *seed)
	random := rand.New(rand.NewSource(*seed))
	s := london(t)
	pick := func(options ...string) string { return options[random.Intn(len(options))] }
	rule := func() string {
		from, to := random.Intn(24*60), random.Intn(30*60)
		times := fmt.Sprintf("%02d:%02d-%02d:%02d", from/60, from%60, to/60, to%60)
		return pick("", "Mo-Fr ", "Sa,Su ", "Su[-1] ", "PH ", "Mar-Oct ") +
			pick(times, times, times, "sunset-sunrise", "00:30-02:30", "22:00+", "", "late") + pick("", "", " off", " unknown")
	}
	starts := []string{"2026-03-28 12:00", "2026-10-24 12:00", "2026-07-01 06:00"}
	for range 400 {
		text := rule()
		for range random.Intn(3) {
			text += pick("; ", ", ", " || ") + rule()
		}
		h := ParseHours(text)
		from := clockTime(t, s, starts[random.Intn(len(starts))]).Add(time.Duration(random.Intn(24*60)) * time.Minute)
		until := from.Add(time.Duration(random.Intn(600)+1) * time.Minute)
		var seen [Yes + 1]bool
		for at := from; at.Before(until); at = at.Add(time.Minute) {
			seen[h.At(s, at)] = true
		}
		want := Never
		switch {
		case seen[Yes] && seen[No]:
			want = Sometimes
		case seen[Unknown]:
			want = ShareUnknown
		case seen[Yes]:
			want = Always
		}
		// Sun bounds lie within a minute, which the walk may step over.
		if got := h.Over(s, from, until); got != want && !strings.Contains(text, "sun") {
			t.Errorf("seed %d: %q from %v for %v: %v, every minute says %v", *seed, text, from, until.Sub(from), got, want)
		}
	}
}

func TestOverOfNoTime(t *testing.T) {
	s := london(t)
	at := clockTime(t, s, "2026-03-03 08:00")
	if got := ParseHours("Tu 08:00-09:00").Over(s, at, at); got != Always {
		t.Errorf("an instant within = %v, want always", got)
	}
}

func FuzzParseHours(f *testing.F) {
	for _, text := range []string{
		"24/7", "Mo-Fr 08:00-18:00; PH off", "Jan 1-2,Mar: week 1-3/2 Sa[1,-1] sunset-(dawn+1:00) open \"a\" || off", ",,;||", "2024+Mo", "\xff",
	} {
		f.Add(text)
	}
	at := time.Date(2026, 3, 3, 12, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text string) {
		s := Setting{Zone: time.UTC}
		h := ParseHours(text)
		h.At(s, at)
		h.Over(s, at, at.Add(48*time.Hour))
		ParseConditional(text).Over(s, "no", at, at.Add(time.Hour))
		said := strings.TrimFunc(text, func(c rune) bool { return c == ';' || unicode.IsSpace(c) })
		if said != "" && len(h.rules) == 0 {
			t.Errorf("%q: no rule and nothing unread", text)
		}
	})
}
