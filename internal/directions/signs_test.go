package directions_test

import (
	"slices"
	"strings"
	"testing"

	"loopwright/internal/directions"
	"loopwright/internal/roadnet/roadnettest"
)

// A learner near the test is asked to follow signs where they are sure to stand
// and lead one way; others are told the turn.
func TestSigns(t *testing.T) {
	main := strings.Replace(tee, "L-J-R High Street", "L-J High Street secondary ref=B12\nJ-R High Street secondary ref=B34", 1)
	both := strings.Replace(tee, "L-J-R High Street", "L-J-R High Street secondary ref=B12", 1)
	small := strings.Replace(tee, "L-J-R High Street", "L-J High Street ref=B12\nJ-R High Street ref=B34", 1)
	ring := strings.Replace(ring3, "L-W West Road", "L-W West Road primary ref=A5", 1)
	for _, c := range []struct{ name, drawing, path, code, want string }{
		{"the one road with its number", main, "A>J>L", "gb", "I'd like you to follow the signs for the B12."},
		{"the other", main, "A>J>R", "gb", "I'd like you to follow the signs for the B34."},
		{"American", main, "A>J>R", "us", "I'd like you to follow the signs for B34."},
		{"both ways have it", both, "A>J>L", "gb", "At the end of the road, turn left into High Street."},
		{"no main road", small, "A>J>L", "gb", "At the end of the road, turn left into High Street."},
		{"a roundabout", ring, "A>S>W>L", "gb", "At the roundabout, follow the signs for the A5."},
	} {
		n := roadnettest.Parse(t, c.drawing, roadnettest.Country(c.code))
		steps := directions.Write(n, profile(t, c.code), []directions.Drive{{Path: pathOf(t, n, c.path)}}, directions.Options{Pace: steady{n, 10}, Signs: true})
		if got := steps[len(steps)-1].Say; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A learner who mixes up left and right hears whose side it is: the instructor
// sits on the side of the kerb in Britain, of the kerb in America too.
func TestMySide(t *testing.T) {
	for _, c := range []struct{ name, path, code, want string }{
		{"left in Britain", "A>J>L", "gb", "At the end of the road, turn left, my side, into High Street."},
		{"right in Britain", "A>J>R", "gb", "At the end of the road, turn right, your side, into High Street."},
		{"left in America", "A>J>L", "us", "At the end of the road, turn left, your side, onto High Street."},
		{"right in America", "A>J>R", "us", "At the end of the road, turn right, my side, onto High Street."},
	} {
		n := roadnettest.Parse(t, tee, roadnettest.Country(c.code))
		steps := directions.Write(n, profile(t, c.code), []directions.Drive{{Path: pathOf(t, n, c.path)}}, directions.Options{Pace: steady{n, 10}, MySide: true})
		if got := steps[len(steps)-1].Say; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	// No sentence has two commas in a row, or one before its full stop.
	for _, c := range junctionCases {
		n := roadnettest.Parse(t, c.drawing)
		for _, s := range directions.Write(n, profile(t, "gb"), []directions.Drive{{Path: pathOf(t, n, c.path)}}, directions.Options{Pace: steady{n, 10}, MySide: true}) {
			if slices.ContainsFunc([]string{",,", ", ,", ",.", " ,"}, func(bad string) bool { return strings.Contains(s.Say, bad) }) {
				t.Errorf("%s: %q", c.name, s.Say)
			}
		}
	}
}
