package notes

import (
	"math/rand/v2"
	"testing"

	"loopwright/internal/calendar"
	"loopwright/internal/roadnet"
)

// Network is a real extract of the tests, for those outside.
func Network(t testing.TB, name string) *roadnet.Network { return network(t, name) }

// HundredThousand is a view of so many notes that speak well of every road, of
// most kinds that a criterion reads, so that a plan with them takes much the same
// course as one without.
func HundredThousand(t testing.TB, n *roadnet.Network) *View {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 0))
	kinds := []Kind{Width, Parked, Gradient, Sight, Surface, Use, Complaint, Bins, Text}
	all := make([]Note, 100_000)
	for i := range all {
		note := randomNote(rng, n)
		note.Kind, note.Day, note.Hours = kinds[rng.IntN(len(kinds))], calendar.Date{Year: 2026, Month: 3, Day: 1 + rng.IntN(28)}, ""
		switch note.Kind {
		case Width:
			note.Metres, note.Method = 6.5, Tape
		case Parked:
			note.Word = ParkedNone
		case Gradient:
			note.Word = Level
		case Sight:
			note.Metres, note.Word = 100, WordUnknown
		case Surface:
			note.Word = Smooth
		case Bins:
			note.Hours = "Mo 06:00-12:00"
		case Text:
			note.Text = "mind the dog"
		}
		r, err := First(note)
		if err != nil {
			t.Fatal(err)
		}
		all[i] = r.Note
	}
	return Match(n, Pack(all))
}
