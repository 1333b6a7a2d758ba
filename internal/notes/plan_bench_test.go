package notes_test

import (
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/calendar"
	"loopwright/internal/country"
	"loopwright/internal/gazetteer"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/lesson"
	"loopwright/internal/notes"
)

// Planning a lesson with a hundred thousand notes of roads that change nothing
// of the plan's course but have to be looked at, against planning with none.
// The aim is one tenth more at most.
func BenchmarkPlan(b *testing.B) {
	n := notes.Network(b, indexingtest.Rutland2022)
	p, err := country.ByCode("gb")
	if err != nil {
		b.Fatal(err)
	}
	at, err := gazetteer.Find(n, "52.6701,-0.7290")
	if err != nil {
		b.Fatal(err)
	}
	zone, err := calendar.Zone("Europe/London")
	if err != nil {
		b.Fatal(err)
	}
	when := time.Date(2027, 3, 4, 10, 0, 0, 0, zone)
	plan := func(b *testing.B, v *notes.View) {
		for b.Loop() {
			a := assess.New(n, p).WithNotes(v, notes.When{Day: calendar.DateOf(when), Hour: when})
			_, err := lesson.Plan(n, p, a, lesson.Request{From: at.Position, To: at.Position, Exercise: "turn-in-the-road", Minutes: 60, When: when,
				Closed: v.Closed(when, when.Add(time.Hour))})
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	b.Run("none", func(b *testing.B) { plan(b, nil) })
	v := notes.HundredThousand(b, n)
	b.Run("hundred-thousand", func(b *testing.B) { plan(b, v) })
}
