package notes

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/geo"
)

// Says is what a note tells, in a few words: "5.4 m by paces".
func (n *Note) Says() string {
	switch n.Kind {
	case Width:
		return fmt.Sprintf("%g m wide, %s", round(float64(n.Metres), 100), methodSaid[n.Method])
	case Parked:
		return parkedSaid[n.Word] + n.atTime()
	case Gradient:
		return "felt " + n.Word.String()
	case Sight:
		if n.Metres > 0 {
			return fmt.Sprintf("one sees about %g m", round(float64(n.Metres), 1))
		}
		return "the view is blocked"
	case Surface:
		return n.Word.String() + " surface"
	case Restriction:
		return n.Word.String() + n.hoursSaid()
	case Closure:
		return "closed" + n.daysSaid() + n.hoursSaid()
	case Bins:
		return "bins out" + n.hoursSaid()
	case Market:
		return "market" + n.hoursSaid()
	case Use:
		return "used" + n.exerciseSaid() + n.atTime()
	case Complaint:
		return "a resident complained"
	case Never:
		return "never again"
	case Suits:
		if n.Word == No {
			return "does not suit, by eye," + n.exerciseSaid()
		}
		return "suits, by eye," + n.exerciseSaid()
	case Text:
		return n.Text
	case Traffic:
		return trafficSaid[n.Word] + n.atTime()
	}
	return "a note of a kind that this version does not know"
}

var (
	methodSaid  = [methodCount]string{"measured in another way", "by tape", "by paces", "by car lengths", "by eye"}
	trafficSaid = map[Word]string{WordUnknown: "traffic, in words that this version does not know", Quiet: "next to no traffic", Some: "some traffic", Busy: "busy"}
	parkedSaid  = map[Word]string{WordUnknown: "parked cars, in words that this version does not know", ParkedNone: "no cars parked", ParkedFew: "few cars parked", ParkedOneSide: "cars parked on one side", ParkedBothSides: "cars parked on both sides"}
)

func (n *Note) atTime() string {
	if n.Minute < 0 {
		return ""
	}
	return fmt.Sprintf(" at %02d:%02d", n.Minute/60, n.Minute%60)
}

func (n *Note) hoursSaid() string {
	if n.Hours == "" {
		return ""
	}
	return " " + n.Hours
}

func (n *Note) daysSaid() string {
	s, never := "", calendar.Date{}
	if n.From != never {
		s += " from " + DaySaid(n.From)
	}
	if n.Until != never {
		s += " until " + DaySaid(n.Until)
	}
	return s
}

func (n *Note) exerciseSaid() string {
	if n.Exercise == "" {
		return ""
	}
	return " for " + strings.ReplaceAll(n.Exercise, "-", " ")
}

// DaySaid writes a day as a person reads it: 4 March 2027.
func DaySaid(d calendar.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Format("2 January 2006")
}

// Said is what a note tells, with whose it is and of when.
func (n *Note) Said() string {
	s := fmt.Sprintf("%s (%s, %s)", n.Says(), n.Author, DaySaid(n.Day))
	if n.Text != "" && n.Kind != Text {
		s += ": " + n.Text
	}
	return s
}

// mostSaid bounds how many notes one finding names.
const mostSaid = 3

// Said names the notes of a kind that count at a window, the latest first.
func (h *Here) Said(from, to geo.Metres, k Kind) string {
	var all []*Placed
	for i, of := 0, h.Of(k); i < len(of); i++ {
		if of[i].away(from, to) <= h.reach(k) {
			all = append(all, &of[i])
		}
	}
	slices.SortFunc(all, func(a, b *Placed) int {
		if a.later(b) {
			return -1
		}
		return 1
	})
	var said []string
	for _, p := range all[:min(len(all), mostSaid)] {
		said = append(said, fmt.Sprintf("%s (%s, %s)", p.Says(), p.Author, DaySaid(p.Day)))
	}
	if more := len(all) - mostSaid; more > 0 {
		said = append(said, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(said, "; ")
}

func (h *Here) reach(k Kind) float64 {
	switch k {
	case Width:
		return h.table().WidthReach
	case Parked:
		return h.table().ParkedReach
	}
	return h.table().FeltReach
}
