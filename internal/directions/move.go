package directions

import (
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/roadnet"
)

// moveForm is what a sentence form tells as a value: what is done, where, and
// whether it has a side and a number.
type moveForm struct {
	do             circuit.Action
	at             circuit.Where
	sided, counted bool
}

// moveForms are by form; those that are no direction have none.
var moveForms = [formCount]moveForm{
	MoveOff:         {do: circuit.MoveOff},
	MoveOffBack:     {do: circuit.MoveOffBack},
	Next:            {circuit.Turn, 0, true, true},
	ThenNext:        {circuit.Turn, 0, true, true},
	End:             {circuit.Turn, circuit.EndOfRoad, true, false},
	Lights:          {circuit.Turn, circuit.TrafficLights, true, true},
	Bear:            {circuit.Bear, circuit.Junction, true, true},
	Sharp:           {circuit.TurnSharp, circuit.Junction, true, true},
	Fork:            {circuit.Keep, circuit.Fork, true, true},
	Slip:            {circuit.TakeSlip, 0, true, true},
	Ahead:           {circuit.FollowAhead, circuit.Junction, false, true},
	Crossroads:      {circuit.FollowAhead, circuit.Crossroads, false, true},
	LightsAhead:     {circuit.FollowAhead, circuit.TrafficLights, false, true},
	Bend:            {circuit.FollowRound, circuit.Junction, true, true},
	LeaveBend:       {do: circuit.TakeAhead, sided: true},
	RoundaboutExit:  {circuit.TakeExit, circuit.Roundabout, false, true},
	RoundaboutTurn:  {circuit.Turn, circuit.Roundabout, true, false},
	RoundaboutAhead: {do: circuit.FollowAhead, at: circuit.Roundabout},
	RoundaboutBack:  {do: circuit.GoAllRound, at: circuit.Roundabout},
	MiniExit:        {circuit.TakeExit, circuit.MiniRoundabout, false, true},
	MiniTurn:        {circuit.Turn, circuit.MiniRoundabout, true, false},
	MiniAhead:       {do: circuit.FollowAhead, at: circuit.MiniRoundabout},
	MiniBack:        {do: circuit.GoAllRound, at: circuit.MiniRoundabout},
	TurnRound:       {do: circuit.TurnRound, at: circuit.EndOfRoad},
	TurnBack:        {circuit.TurnRound, circuit.Junction, false, true},
	PullUp:          {do: circuit.PullUp, sided: true},
	IntoCarPark:     {circuit.PullUp, circuit.CarPark, true, false},
	Signs:           {do: circuit.FollowSigns, sided: true},
	RoundaboutSigns: {do: circuit.FollowSigns, at: circuit.Roundabout, sided: true},
}

// move is a form with what fills it; road and past are as they are said.
func move(f Form, b blanks, past, road string) circuit.Move {
	of := moveForms[f]
	m := circuit.Move{Do: of.do, At: of.at, Past: past, Road: road}
	if of.sided && b.side != roadnet.SideUnknown {
		m.Side = b.side.String()
	}
	if of.counted {
		m.Number = b.nth
	}
	return m
}

// Short is a move in so few words that they are read at a glance; what it does
// not have is "".
type Short struct {
	Action string // 2nd left
	At     string // end of road
	Past   string // just past the post box
}

// InShort gives a move in a country's short words. A number belongs to the
// place where that is counted, else to the action; the next one goes without.
func InShort(p *country.Profile, m circuit.Move) Short {
	w := wordsOf(p)
	side := roadnet.Left
	if m.Side == roadnet.Right.String() {
		side = roadnet.Right
	}
	nth := ""
	if m.Number > 1 || m.Do == circuit.TakeExit {
		nth = figures(m.Number)
	}
	fill := func(form string) string {
		text := strings.NewReplacer("{nth}", nth, "{side}", side.String(), "{road}", m.Road).Replace(form)
		if strings.Contains(form, "{nth}") {
			nth = ""
		}
		return strings.TrimSpace(text)
	}
	s := Short{At: fill(w.places[m.At.String()])}
	s.Action = fill(w.actions[m.Do.String()])
	if m.Past != "" {
		s.Past = w.phrase(Past, blanks{road: m.Past})
	}
	return s
}
