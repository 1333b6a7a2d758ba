package directions_test

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/internal/circuit"
	"loopwright/internal/directions"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// The moves of every junction case tell what its words do, as the listener's
// grammar takes them: as many, to the same side, with the same number.
func TestMovesSayWhatTheWordsDo(t *testing.T) {
	heard := map[what]circuit.Action{
		whatRoad: circuit.Turn, whatSlip: circuit.TakeSlip, whatEnd: circuit.Turn, whatLights: circuit.Turn, whatLightsAhead: circuit.FollowAhead,
		whatCrossroads: circuit.FollowAhead, whatAhead: circuit.FollowAhead, whatRound: circuit.FollowRound, whatBear: circuit.Bear, whatSharp: circuit.TurnSharp,
		whatFork: circuit.Keep, whatPastBend: circuit.TakeAhead, whatExit: circuit.TakeExit, whatCircleTurn: circuit.Turn, whatCircleAhead: circuit.FollowAhead,
		whatCircleBack: circuit.GoAllRound, whatTurnRound: circuit.TurnRound, whatTurnBack: circuit.TurnRound, whatPullUp: circuit.PullUp,
	}
	seen := map[circuit.Action]bool{}
	for _, c := range junctionCases {
		n := roadnettest.Parse(t, c.drawing)
		for _, s := range directions.Write(n, profile(t, "gb"), []directions.Drive{{Path: pathOf(t, n, c.path), PullUp: roadnet.Left}}, directions.Options{Pace: steady{n, 10}}) {
			orders, err := listen(s.Say)
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			moves := s.Moves
			if len(moves) > 0 && (moves[0].Do == circuit.MoveOff || moves[0].Do == circuit.MoveOffBack) {
				moves = moves[1:]
			}
			if len(moves) != len(orders) {
				t.Fatalf("%s: %q has the moves %v", c.name, s.Say, moves)
			}
			for i, o := range orders {
				m := moves[i]
				seen[m.Do] = true
				if m.Do != heard[o.what] || o.side != roadnet.SideUnknown && m.Side != o.side.String() || o.side == roadnet.SideUnknown && m.Side != "" || m.Number != 0 && m.Number != o.n {
					t.Errorf("%s: %q has the move %+v, heard is %+v", c.name, s.Say, m, o)
				}
				if m.Road != "" && !strings.Contains(s.Say, m.Road) || m.Past != "" && !strings.Contains(s.Say, "just past the "+m.Past) {
					t.Errorf("%s: %q has the move %+v", c.name, s.Say, m)
				}
			}
		}
	}
	if len(seen) < 12 {
		t.Errorf("the cases have only %d actions", len(seen))
	}
}

// In short a number is told once: of the place where that is counted, else of
// the road; every action has words in every country.
func TestInShort(t *testing.T) {
	for _, c := range []struct {
		move circuit.Move
		code string
		want string
	}{
		{circuit.Move{Do: circuit.Turn, Side: "left", Number: 1}, "gb", "left//"},
		{circuit.Move{Do: circuit.Turn, Side: "left", Number: 2, Past: "post box"}, "gb", "2nd left//just past the post box"},
		{circuit.Move{Do: circuit.Turn, Side: "right", Number: 2, At: circuit.TrafficLights}, "gb", "right/2nd lights/"},
		{circuit.Move{Do: circuit.Turn, Side: "right", At: circuit.EndOfRoad}, "gb", "right/end of road/"},
		{circuit.Move{Do: circuit.TakeExit, Number: 1, At: circuit.Roundabout}, "gb", "1st exit/roundabout/"},
		{circuit.Move{Do: circuit.TakeSlip, Number: 1, Side: "left"}, "us", "ramp left//"},
		{circuit.Move{Do: circuit.FollowAhead, Number: 1, At: circuit.Crossroads}, "us", "ahead/cross street/"},
		{circuit.Move{Do: circuit.FollowSigns, Road: "{nth} {side}"}, "gb", "signs {nth} {side}//"},
	} {
		s := directions.InShort(profile(t, c.code), c.move)
		if got := fmt.Sprintf("%s/%s/%s", s.Action, s.At, s.Past); got != c.want {
			t.Errorf("%+v in short: %q, want %q", c.move, got, c.want)
		}
	}
	for _, code := range []string{"gb", "us", "de"} {
		for _, a := range circuit.Actions() {
			if s := directions.InShort(profile(t, code), circuit.Move{Do: a, Side: "left", Number: 2}); s.Action == "" || strings.ContainsAny(s.Action, "{}") {
				t.Errorf("%s, %s: in short %q", code, a, s.Action)
			}
		}
	}
}
