package assess

import (
	"fmt"

	"loopwright/internal/country"
)

// Key says why an example will not do, or that it would, for the answer key:
// one or two sentences in a driver's words, of what shows from the seat.
func Key(e Example, ex *Exercise, p *country.Profile) string {
	if e.Reason == Suits {
		return suits(e.Findings)
	}
	f := named(e.Findings, e.Reason)
	if f == nil {
		return e.Card + "."
	}
	switch e.Reason {
	case "clear-width":
		return fmt.Sprintf("Too narrow: %s between the kerbs, and the car needs %s.", f.amount(p), f.asked(p))
	case "bend":
		return fmt.Sprintf("The road bends %s within %s: others would come upon the car too late.", quantity(f.middle(), "deg", p), quantity(30, "m", p))
	case "junction":
		return fmt.Sprintf("Too near a junction: within %s, and %s is good.", quantity(max(f.middle(), 5), "m", p), f.asked(p))
	case "one-way":
		if ex.FacesBack {
			return "One-way: the car could not come back."
		}
		return "A one-way street."
	case "dual":
		return "A dual carriageway."
	case "class":
		if f.Text == "living street" {
			return "A shared street: people walk and play here."
		}
		return "A main road: too much traffic."
	case "calming":
		if f.Text == "island" {
			return "An island stands in the way."
		}
		return "Humps or narrowings: no place to stand."
	case "crossing":
		return "A crossing: never stop on its approach."
	case "structure":
		return fmt.Sprintf("A %s: no place to stop.", f.Text)
	case "parked":
		return "Cars may stand on both sides: no room and no clear kerb."
	case "car-park":
		if f.Text == "in a building" {
			return "It is in a building: pillars, ramps and tight turns."
		}
		return "The bays lie along the road: traffic comes by while the car turns."
	case "car-park-access":
		return "It is private: not without the owner's leave."
	case "bays":
		return fmt.Sprintf("Too small: about %.0f bays, and %s are asked, so that some lie empty together.", f.middle(), f.asked(p))
	case "height-bar":
		return "The bar is too low for the car with its roof sign."
	case "gradient":
		return fmt.Sprintf("Too steep: about %.0f %%, and %s is asked.", f.middle(), f.asked(p))
	}
	return Words(*f, p)
}

// suits says what speaks for a road, from its findings, and what must still be
// looked at.
func suits(findings []Finding) string {
	text := "It would do"
	if f := named(findings, "bend"); f != nil && f.Holds == HoldsYes {
		text += ": straight"
		if f := named(findings, "junction"); f != nil && f.Holds == HoldsYes {
			text += " and clear of junctions"
		}
	}
	if f := named(findings, "car-park"); f != nil {
		return text + ": open ground. How full it is nobody maps: look for rows that lie empty together."
	}
	switch f := named(findings, "quiet"); {
	case f == nil:
	case f.Text == "no way through":
		text += ", with its own traffic only"
	case f.Holds == HoldsYes:
		text += ", and roads like this are usually quiet"
	}
	if f := named(findings, "clear-width"); f != nil && f.Evidence != Mapped && f.Evidence != Measured {
		text += ". Width not mapped: check on the day"
	}
	return text + "."
}

func named(findings []Finding, criterion string) *Finding {
	for i := range findings {
		if findings[i].Criterion == criterion {
			return &findings[i]
		}
	}
	return nil
}
