package desk

import (
	"errors"
	"fmt"

	"loopwright/internal/gazetteer"
	"loopwright/internal/roadnet"
)

// barred are roads that are named in a request, as stretches and as the kerb of
// each for the circuit file.
type barred struct {
	stretches []roadnet.StretchID
	kerbs     []string
	said      []string // what was understood where that is not what was typed
}

// barredBy finds the roads of some PLACEs: the whole of a road that is named, the
// stretch where any other place lies. What says what they are for.
func (d *Desk) barredBy(places []string, what string) (barred, error) {
	var out barred
	for _, words := range places {
		at, err := gazetteer.Find(d.net, words)
		var several *gazetteer.Ambiguous
		switch {
		case errors.As(err, &several) && oneName(several):
			for _, m := range several.Matches { // as far as anybody could say, it is one road
				at.Whole = append(at.Whole, m.Whole...)
			}
		case err != nil:
			return out, &Fault{Kind: WrongUse, Err: fmt.Errorf("%s: %w", what, err)}
		}
		if at.Said != "" {
			out.said = append(out.said, what+": "+at.Said)
		}
		if len(at.Whole) == 0 {
			out.stretches = append(out.stretches, at.Position.Segment.Stretch())
			out.kerbs = append(out.kerbs, at.Kerb.String())
			continue
		}
		for _, s := range at.Whole {
			out.stretches = append(out.stretches, s)
			out.kerbs = append(out.kerbs, d.net.KerbAt(middle(d.net, s, true), roadnet.Left).String())
		}
	}
	return out, nil
}

// oneName says whether all that words fit are roads of one name in one settlement.
func oneName(several *gazetteer.Ambiguous) bool {
	for _, m := range several.Matches {
		if m.Name != several.Matches[0].Name || len(m.Whole) == 0 {
			return false
		}
	}
	return several.More == 0
}

// kept says of a lesson's end that it lies in a road that the drive keeps off.
func (b *barred) kept(at roadnet.Position, end, road string) error {
	for _, s := range b.stretches {
		if s == at.Segment.Stretch() {
			return fault(WrongUse, "", "the lesson %s in %s, which the drive is to keep off: give another place, or leave the road open", end, road)
		}
	}
	return nil
}
