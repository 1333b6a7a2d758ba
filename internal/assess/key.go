package assess

import (
	"fmt"

	"loopwright/internal/country"
)

// Key says why an example will not do, or that it would, for the answer key:
// one sentence in a driver's words, of what shows from the seat.
func Key(e Example, p *country.Profile) string {
	if e.Reason == Suits {
		text := "Straight, clear of junctions and quiet enough: it would do"
		for i := range e.Findings {
			if f := &e.Findings[i]; f.Criterion == "clear-width" && f.Evidence != Mapped && f.Evidence != Measured {
				text += ", if it is wide enough: the width is not mapped, so check on the day"
			}
		}
		return text + "."
	}
	for i := range e.Findings {
		f := &e.Findings[i]
		if f.Criterion != e.Reason {
			continue
		}
		switch e.Reason {
		case "clear-width":
			return fmt.Sprintf("Too narrow: %s between the kerbs, and the car needs %s.", f.amount(p), f.asked(p))
		case "bend":
			return fmt.Sprintf("The road bends %s within %s: others would come upon the car too late.", quantity(f.middle(), "deg", p), quantity(30, "m", p))
		case "junction":
			return fmt.Sprintf("Too near a junction: %s is good, and this is within %s.", f.asked(p), quantity(max(f.middle(), 5), "m", p))
		case "one-way":
			return "One-way: the car could not come back."
		case "dual":
			return "A dual carriageway: the other half carries the other direction."
		case "class":
			return fmt.Sprintf("A main road (%s): too much traffic to stand across it.", f.Text)
		case "calming":
			if f.Text == "island" {
				return "An island stands in the way."
			}
			return "Humps or narrowings: the car would stand on them."
		case "crossing":
			return "A crossing: never stop on its approach."
		case "structure":
			return fmt.Sprintf("A %s: no place to stop.", f.Text)
		case "parked":
			return "Cars may stand on both sides: no room and no clear kerb."
		case "gradient":
			return fmt.Sprintf("Too steep: about %.0f %%, and up to %s will do.", f.middle(), f.asked(p))
		}
		return Words(*f, p)
	}
	return e.Card + "."
}
