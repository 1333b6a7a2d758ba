// Package handover makes of a circuit what goes to somebody else: a GPX file, a
// circuit cut for sending, pages to print, and the card that comes back with the
// learner; and of a survey its report and its sheet.
//
//	circuit file ---> GPX                    GPX
//	             ---> ForCover, ForAnyone    circuit file
//	             ---> Card, Sheet, LearnerCard, HandBack, SurveySheet  pages (HTML)
//	survey       ---> SurveyReport           page (HTML)
//
// Everything of a circuit but ForAnyone is made from it alone. Names come from
// the map and from strangers: they are never trusted, and escaped by the encoders
// of XML and HTML. The same circuit gives the same bytes.
package handover

import (
	"fmt"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// clock is the time of day at a second of the lesson.
func clock(c *circuit.Circuit, atS float64) time.Time {
	return c.StartsAt.Add(time.Duration(atS * float64(time.Second)))
}

// begins is the day and time at which a lesson begins, as a user reads it.
func begins(c *circuit.Circuit) string { return c.StartsAt.Format("Monday 2 January 2006, 15:04") }

// exerciseTitle is the exercise as a user reads it, or its name where this
// program has none of the kind.
func exerciseTitle(name string) string {
	if ex, err := assess.Named(name); err == nil {
		return ex.Title
	}
	return name
}

// lessonTitle is what a lesson is about, as a user reads it.
func lessonTitle(c *circuit.Circuit) string { return c.Title(exerciseTitle) }

// titled joins a heading and a road, if that has a name.
func titled(heading, road string) string {
	if road == "" {
		return heading
	}
	return heading + ": " + road
}

// kerbWords say where a car stands.
func kerbWords(s circuit.Stop) string {
	words := fmt.Sprintf("on the %s", s.Side)
	if s.Towards != "" {
		words += ", facing towards " + s.Towards
	}
	return words
}
