package lesson

import "testing"

// A leg says its roads to judge as one would, and who drives.
func TestLegWords(t *testing.T) {
	for _, c := range []struct {
		driver  string
		first   bool
		judging []string
		want    string
	}{
		{"learner", false, nil, "drive"},
		{"learner", true, []string{"Mill Lane"}, "drive, and judge Mill Lane"},
		{"learner", false, []string{"Mill Lane", "Weir Road"}, "drive, and judge Mill Lane and Weir Road"},
		{"learner", false, []string{"Mill Lane", "Weir Road", "Elm Close"}, "drive, and judge Mill Lane, Weir Road and Elm Close"},
		{"instructor", true, nil, "you drive, to where you change over"},
		{"instructor", false, nil, "you drive home"},
	} {
		if got := legWords(c.driver, c.first, c.judging, "drive"); got != c.want {
			t.Errorf("legWords(%q, %v, %q) = %q, want %q", c.driver, c.first, c.judging, got, c.want)
		}
	}
}
