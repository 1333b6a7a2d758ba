package witness

import (
	"slices"
	"testing"
)

func TestHear(t *testing.T) {
	for say, want := range map[string][]order{
		"I'd like you to take the second road on the right, please.":                                              {{what: takeRoad, n: 2, right: true}},
		"At the end of the road, turn left, then pull up on the left.":                                            {{what: endTurn, n: 1}, {what: pullUp, n: 1}},
		"I'd like you to drive into the car park on the right, after the bend.":                                   {{what: pullUp, n: 1, right: true}},
		"Keep driving, and now you choose: tell me when we are in a road that would do for our turn in the road.": nil,
		"Now you choose: which of the last roads would you take for our turn in the road?":                        nil,
	} {
		got, err := hear(say)
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q is heard as %v, %v, want %v", say, got, err, want)
		}
	}
	if got, err := hear("Fly over the next house."); err == nil {
		t.Errorf("what is no direction is heard as %v", got)
	}
}
