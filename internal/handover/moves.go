package handover

import (
	"html/template"
	"slices"
	"strings"
	"unicode/utf8"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
)

// arrow is the picture beside a move.
type arrow string

const (
	arrowAhead      arrow = "ahead"
	arrowLeft       arrow = "left"
	arrowRight      arrow = "right"
	arrowBearLeft   arrow = "bear-left"
	arrowBearRight  arrow = "bear-right"
	arrowRoundabout arrow = "roundabout"
	arrowBack       arrow = "back"
	arrowStop       arrow = "stop"
	arrowGo         arrow = "go"
	arrowSigns      arrow = "signs"
	arrowRound      arrow = "round"
	arrowOther      arrow = "other"
)

// move is one thing that a learner does: a picture, one to three words, and
// where.
type move struct {
	of     circuit.Move // that it was made from, of no action where only words are
	drawn  template.HTML
	action string // left, 2nd right, 3rd exit
	place  string // end of road, 2nd lights
	past   string // just past the post box
	road   string
	plain  bool // its picture says all of its action
	shown  bool // and its place
}

// movesOf are a step's moves in the words of a country; where the file has
// none, its words are a move of their own.
func movesOf(p *country.Profile, s circuit.Step) []move {
	if len(s.Moves) == 0 {
		return []move{{drawn: arrowPicture(arrowOther, ""), action: strings.TrimSuffix(directions.Brief(p, s), ".")}}
	}
	return inShort(p, s.Moves)
}

func inShort(p *country.Profile, moves []circuit.Move) []move {
	out := make([]move, len(moves))
	for i, m := range moves {
		short := directions.InShort(p, m)
		a := arrowOf(m)
		out[i] = move{m, movePicture(m, a), short.Action, short.At, short.Past, m.Road, false, pictured(m, a)}
		out[i].plain = m.Do == circuit.FollowAhead || m.Do == circuit.Turn && (m.Number < 3 || m.At != circuit.WhereUnknown) || m.Do == circuit.TakeExit && m.Number < 10
		if m.Do == circuit.FollowSigns {
			out[i].road = m.Side // its action names the road; the side is for where no sign stands
		}
	}
	return out
}

func arrowOf(m circuit.Move) arrow {
	side := func(left, right arrow) arrow {
		if m.Side == "right" {
			return right
		}
		return left
	}
	switch m.Do {
	case circuit.MoveOff, circuit.MoveOffBack:
		return arrowGo
	case circuit.Turn, circuit.TurnSharp:
		return side(arrowLeft, arrowRight)
	case circuit.Bear, circuit.Keep, circuit.TakeSlip, circuit.FollowRound:
		return side(arrowBearLeft, arrowBearRight)
	case circuit.TakeExit:
		return arrowRoundabout
	case circuit.FollowAhead, circuit.TakeAhead:
		return arrowAhead
	case circuit.GoAllRound, circuit.TurnRound:
		return arrowBack
	case circuit.PullUp:
		return arrowStop
	case circuit.FollowSigns:
		return arrowSigns
	default:
		return arrowOther
	}
}

// landmarks are the words for where, from all of them to the fewest that help;
// none at last where the picture shows the place.
func (m move) landmarks() []string {
	all := []string{listed(m.place, m.past, m.road), listed(m.place, m.road), listed(m.place, m.past)}
	if !m.shown && m.place != "" {
		return append(all, m.place)
	}
	return slices.Compact(append(all, m.road, shortened(m.road), ""))
}

// shortened is a name without its last words, where its first says something.
func shortened(name string) string {
	const something = 4 // letters
	first, _, more := strings.Cut(name, " ")
	if !more || utf8.RuneCountInString(first) < something {
		return name
	}
	return first + "…"
}

// listed are the words that there are, with commas.
func listed(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), ", ")
}
