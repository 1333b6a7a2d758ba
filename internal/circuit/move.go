package circuit

import "slices"

// Move is one thing that the driver does at a step, as values, so that it can
// be drawn, counted and put into the words of any country.
type Move struct {
	Do   Action `json:"do"`
	Side string `json:"side,omitempty"` // left or right; "" where the action has none

	// Number is which one it is, from 1: of the roads on that side or of the
	// exits, and with At the lights or a junction, of those. 0 where nothing is
	// counted.
	Number int    `json:"number,omitempty"`
	At     Where  `json:"at,omitzero"`
	Road   string `json:"road,omitempty"` // where it leads: its name, else its number; of FollowSigns, what the signs say
	Past   string `json:"past,omitempty"` // the landmark just before it
}

// Action is what is done.
type Action uint8

const (
	ActionUnknown Action = iota
	MoveOff              // away from the kerb, as the car stands
	MoveOffBack          // likewise, back the way it came
	Turn                 // into a road on a side
	TurnSharp            // into the one that lies farther back
	Bear                 // into the one that lies farther ahead
	Keep                 // to a side of a fork
	TakeSlip             // a slip road
	TakeExit             // of a roundabout, by number
	FollowAhead          // the road ahead, where one would doubt
	FollowRound          // the main road, as it bends to a side
	TakeAhead            // the road ahead, as the main road bends to a side
	FollowSigns          // to what Road says
	GoAllRound           // a roundabout, and back
	TurnRound            // in the road, where it ends
	PullUp               // at the kerb
	actionCount
)

var actionWords = [actionCount]string{"unknown", "move-off", "move-off-back", "turn", "turn-sharp", "bear", "keep", "take-slip", "take-exit",
	"follow-ahead", "follow-round", "take-ahead", "follow-signs", "go-all-round", "turn-round", "pull-up"}

// String is the word in the file.
func (a Action) String() string { return actionWords[a] }

// MarshalText writes the word.
func (a Action) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText reads the word; one from a later program is unknown.
func (a *Action) UnmarshalText(b []byte) error {
	*a = Action(max(0, slices.Index(actionWords[:], string(b))))
	return nil
}

// Actions are all but the unknown one.
func Actions() []Action { return all(actionCount) }

// Where is what a move is recognised by.
type Where uint8

const (
	WhereUnknown Where = iota
	EndOfRoad
	TrafficLights
	Junction
	Crossroads
	Fork
	Roundabout
	MiniRoundabout
	CarPark
	whereCount
)

var whereWords = [whereCount]string{"unknown", "end-of-road", "traffic-lights", "junction", "crossroads", "fork", "roundabout", "mini-roundabout", "car-park"}

// String is the word in the file.
func (w Where) String() string { return whereWords[w] }

// MarshalText writes the word.
func (w Where) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads the word; one from a later program is unknown.
func (w *Where) UnmarshalText(b []byte) error {
	*w = Where(max(0, slices.Index(whereWords[:], string(b))))
	return nil
}

// Wheres are all but the unknown one.
func Wheres() []Where { return all(whereCount) }

// all are the values of an enumeration from 1 up to, not including, its count.
func all[E ~uint8](count E) []E {
	var out []E
	for e := E(1); e < count; e++ {
		out = append(out, e)
	}
	return out
}

// known are moves, or nil where a later program wrote one that this one does
// not know: the words of the step say it all.
func known(moves []Move) []Move {
	if slices.ContainsFunc(moves, func(m Move) bool { return m.Do == ActionUnknown }) {
		return nil
	}
	return some(moves)
}
