package desk_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/desk"
)

// A road that is closed by its name is on no leg of the plan, whole; one that is
// left out is neither judged nor practised in. What the map does not know, or
// knows several times, is one sentence that says which of the two it is about.
func TestRoadsBarredByName(t *testing.T) {
	d, err := desk.OpenDemo(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	ask := desk.PlanRequest{From: "Merrack Avenue", Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04 10:00", Seed: 1}
	free, err := d.Plan(ask)
	if err != nil {
		t.Fatal(err)
	}
	left := free.Circuit.Practice.Road
	var barred *desk.Planned
	closed := ""
	for _, l := range free.Circuit.Legs { // the first without which one can be planned
		for _, road := range l.Roads {
			if barred != nil || road == left {
				continue
			}
			ask.KeepOff, ask.Without = []string{road}, []string{strings.ToUpper(left)}
			if plan, err := d.Plan(ask); err == nil {
				barred, closed = plan, road
			}
		}
	}
	if barred == nil {
		t.Fatal("no road can be closed")
	}
	ask.KeepOff = []string{closed}
	for _, l := range barred.Circuit.Legs {
		if slices.Contains(l.Roads, closed) {
			t.Errorf("leg %d drives along %s, which is closed", l.Order, closed)
		}
	}
	if barred.Circuit.Practice.Road == left {
		t.Errorf("it practises in %s, which was to be left out", left)
	}
	for _, e := range barred.Circuit.Examples {
		if e.Road == left {
			t.Errorf("%s is judged, which was to be left out", left)
		}
	}
	for _, kerb := range slices.Concat(barred.Circuit.Request.KeepOff, barred.Circuit.Request.Without) {
		if _, err := d.Find(kerb); err != nil {
			t.Errorf("the file names %s: %v", kerb, err)
		}
	}
	said, err := d.Plan(desk.PlanRequest{From: ask.From, Exercise: ask.Exercise, Minutes: 60, When: ask.When, Seed: 1, KeepOff: []string{closed[:3] + closed[4:]}})
	if err != nil || !slices.Contains(said.Said, "to keep off: taken as "+closed) {
		t.Errorf("misspelt: %v", err)
	}
	for _, c := range []struct {
		name, want string
		ask        func(*desk.PlanRequest)
	}{
		{"unknown", `to keep off: "Nowhere Road": no road`, func(r *desk.PlanRequest) { r.KeepOff = []string{"Nowhere Road"} }},
		{"unknown, to leave out", `to leave out: "Nowhere Road": no road`, func(r *desk.PlanRequest) { r.Without = []string{"Nowhere Road"} }},
		{"where it starts", "the lesson starts in Merrack Avenue, which the drive is to keep off", func(r *desk.PlanRequest) { r.KeepOff = []string{"Merrack Avenue"} }},
		{"where it ends", "the lesson ends in " + closed, func(r *desk.PlanRequest) { r.To = closed }},
	} {
		r := ask
		c.ask(&r)
		_, err := d.Plan(r)
		var f *desk.Fault
		if !errors.As(err, &f) || f.Kind != desk.WrongUse || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
