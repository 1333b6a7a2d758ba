package lesson_test

import (
	"reflect"
	"strings"
	"testing"

	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

func TestReadWishes(t *testing.T) {
	for _, c := range []struct {
		say  []string
		want lesson.Wishes
	}{
		{[]string{"at least four mini-roundabouts"}, lesson.Wishes{Seek: []circuit.Sought{{Topic: "mini-roundabouts", AtLeast: 4}}}},
		{[]string{"Crossings.", "2 roundabouts"}, lesson.Wishes{Seek: []circuit.Sought{{Topic: "crossings", AtLeast: 1}, {Topic: "roundabouts", AtLeast: 2}}}},
		{[]string{"one dual carriageway", "three emerges"}, lesson.Wishes{Seek: []circuit.Sought{{Topic: "dual-carriageways", AtLeast: 1}, {Topic: "emerging", AtLeast: 3}}}},
		{[]string{"two traffic lights"}, lesson.Wishes{Seek: []circuit.Sought{{Topic: "signals", AtLeast: 2}}}},
		{[]string{"no dual carriageways", "without signals"}, lesson.Wishes{Avoid: []string{"dual carriageways", "signals"}}},
		{[]string{"my side and your side", "Questions only when parked"}, lesson.Wishes{MySide: true, Parked: true}},
		{nil, lesson.Wishes{}},
	} {
		if got, err := lesson.ReadWishes(c.say); err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("ReadWishes(%q) = %+v, %v; want %+v", c.say, got, err, c.want)
		}
	}
	for _, c := range [][2]string{
		{"a nice view", "at least four mini-roundabouts"},
		{"no flying", "is no topic of driving"},
		{"at least zero crossings", "at least four"},
		{"0 crossings", "room for 1 to"},
		{"500 crossings", "room for 1 to"},
		{"", "is no topic of driving"},
	} {
		if _, err := lesson.ReadWishes([]string{c[0]}); err == nil || !strings.Contains(err.Error(), c[1]) {
			t.Errorf("ReadWishes(%q): %v, want %q", c[0], err, c[1])
		}
	}
	if _, err := lesson.ReadWishes([]string{"crossings", "two crossings"}); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("crossings asked for twice: %v", err)
	}
}

// Every sighting that the help lists can be wished for, and counted in words.
func TestSightings(t *testing.T) {
	for _, s := range lesson.Sightings() {
		w, err := lesson.ReadWishes([]string{"at least two " + s})
		if err != nil || len(w.Seek) != 1 || w.Seek[0].AtLeast != 2 {
			t.Errorf("two %s: %+v, %v", s, w, err)
			continue
		}
		one, two := lesson.Counted(1, w.Seek[0].Topic), lesson.Counted(2, w.Seek[0].Topic)
		if !strings.HasPrefix(one, "1 ") || !strings.HasPrefix(two, "2 ") || one[2:] == two[2:] && s != "crossroads" {
			t.Errorf("%s is counted as %q and %q", s, one, two)
		}
	}
}
