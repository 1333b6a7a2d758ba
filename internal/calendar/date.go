package calendar

import (
	"fmt"
	"time"
	_ "time/tzdata" // the program runs where no zone files are
)

// Zone finds a time zone of the IANA database by name ("Europe/London").
func Zone(name string) (*time.Location, error) {
	if name == "" || name == "Local" {
		return nil, fmt.Errorf("time zone %q: name one of the IANA database, such as Europe/London", name)
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil, fmt.Errorf("time zone %q is not in the IANA database: write it like Europe/London", name)
	}
	return zone, nil
}

// Date is a day of the calendar, nowhere in particular.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the day that a time has on its own clock.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads 2026-09-02.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return Date{}, fmt.Errorf("date %q: write it as year-month-day, 2026-09-02", text)
	}
	return DateOf(t), nil
}

// String writes 2026-09-02.
func (d Date) String() string { return d.utc().Format(time.DateOnly) }

func (d Date) utc() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// Add is the date some days later.
func (d Date) Add(days int) Date { return DateOf(d.utc().AddDate(0, 0, days)) }

// Before tells whether the date is earlier.
func (d Date) Before(e Date) bool { return d.utc().Before(e.utc()) }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// at is the instant when the zone's clock shows some seconds after midnight of
// the date (86400 and more: on the days that follow). Where the clock is put
// back it is one of the two; where the hour is left out, the one after the
// jump, as time.Date has it.
func (d Date) at(seconds int, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, seconds, 0, zone)
}
