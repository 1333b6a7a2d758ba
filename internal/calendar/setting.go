package calendar

import (
	"time"

	"github.com/paulmach/orb"
)

// Setting is where a question is asked: what a tag's clock, sun and holidays
// mean there. Zone is required.
type Setting struct {
	Position orb.Point
	Zone     *time.Location
	// PublicHoliday and SchoolHoliday tell what a date is. Where one is nil,
	// it is unknown for every date.
	PublicHoliday func(Date) Answer
	SchoolHoliday func(Date) Answer
	// Measures are those of the vehicle for conditions such as weight>7.5:
	// tonnes for weight, metres for length, width and height. What is missing
	// is unknown.
	Measures map[string]float64
}

func (s Setting) publicHoliday(d Date) Answer {
	if s.PublicHoliday == nil {
		return Unknown
	}
	return s.PublicHoliday(d)
}

func (s Setting) schoolHoliday(d Date) Answer {
	if s.SchoolHoliday == nil {
		return Unknown
	}
	return s.SchoolHoliday(d)
}
