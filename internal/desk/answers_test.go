package desk_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/internal/desk"
)

// driven is a survey drive of the estate, two hours after it began.
func driven(t *testing.T) (d *desk.Desk, planned *desk.Planned, now time.Time) {
	t.Helper()
	t.Setenv("LOOPWRIGHT_DIR", t.TempDir())
	d, _ = drawn(t, "estate", estate)
	now = time.Date(2027, 3, 4, 12, 0, 0, 0, time.UTC)
	planned, err := d.SurveyDrive(desk.SurveyRequest{Around: "High Street", Within: 10, Drive: 20, Exercise: "turn-in-the-road", When: "2027-03-04 10:00", Seed: 1, Now: now})
	if err != nil {
		t.Fatal(err)
	}
	return d, planned, now
}

// What is answered of a road stands in place of what was answered before, comes
// back with the drive, and tells what it changed however often it is asked.
func TestAnswers(t *testing.T) {
	d, planned, now := driven(t)
	open := func() *desk.Answers {
		t.Helper()
		a, err := d.AnswersOf(planned.Circuit)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	a := open()
	before, err := a.Stops()
	if err != nil || before.Answered != 0 || before.Roads == 0 {
		t.Fatalf("a new drive is %+v, %v", before, err)
	}
	first := desk.Answer{WidthM: 4.2, Parked: "both sides", View: "blocked", Traffic: "busy", WouldDo: "no"}
	entered, err := a.EnterOf(1, first, "JB", now)
	if err != nil {
		t.Fatal(err)
	}
	if entered.After >= entered.Before {
		t.Errorf("a road that is narrow, parked up and busy is judged %v after %v", entered.After, entered.Before)
	}
	second := desk.Answer{WidthM: 4.2, Parked: "few", WouldDo: "no"}
	if _, err := open().EnterOf(1, second, "", now); err != nil {
		t.Fatal(err)
	}
	given, err := open().Given()
	if err != nil || given[0] != second {
		t.Errorf("after a second answer the road has %+v, %v; want %+v", given[0], err, second)
	}
	rows, err := d.Notes().List(nil, true)
	if err != nil {
		t.Fatal(err)
	}
	deleted := 0
	for _, r := range rows {
		if r.Deleted {
			deleted++
		}
		if !strings.HasSuffix(r.Day, "-04") {
			t.Errorf("%+v was not seen on the day of the drive", r)
		}
	}
	if len(rows) != 6 || deleted != 3 { // parked, sight and traffic of the first answer
		t.Errorf("%d notes, %d of them deleted; want 6 and 3: %+v", len(rows), deleted, rows)
	}
	kerb := a.Roads[0].Kerb
	for range 2 {
		changed, err := open().Changed()
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(changed, func(r desk.Reversed) bool { return slices.Contains(r.Kerbs, kerb) && r.Seen && r.After < r.Before }) {
			t.Errorf("%s is not told as worse: %+v", kerb, changed)
		}
	}
	if _, err := a.EnterOf(1, desk.Answer{}, "JB", now); err != nil {
		t.Fatal(err)
	}
	if changed, err := open().Changed(); err != nil || len(changed) != 0 {
		t.Errorf("with nothing answered, %+v changed, %v", changed, err)
	}
}

// What can't be read is noted in no part.
func TestAnswersRefused(t *testing.T) {
	d, planned, now := driven(t)
	a, err := d.AnswersOf(planned.Circuit)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		number int
		says   desk.Answer
	}{
		{"no such road", 99, desk.Answer{Parked: "few"}},
		{"no such word", 1, desk.Answer{WidthM: 5, Parked: "plenty"}},
		{"no such view", 1, desk.Answer{Parked: "few", View: "hazy"}},
		{"no width of a road", 1, desk.Answer{WidthM: 0.2, WouldDo: "yes"}},
		{"a width beyond any", 1, desk.Answer{WidthM: 1e9}},
	} {
		if _, err := a.EnterOf(c.number, c.says, "JB", now); err == nil {
			t.Errorf("%s: taken", c.name)
		}
	}
	if rows, err := d.Notes().List(nil, true); err != nil || len(rows) != 0 {
		t.Errorf("of what was refused, noted: %+v, %v", rows, err)
	}
	for _, line := range []string{"5.4 few few", "5.4 5.5", "wide", "-3", "NaN"} {
		if says, err := desk.ReadAnswer(line); err == nil {
			t.Errorf("ReadAnswer(%q) = %+v, want an error", line, says)
		}
	}
	if says, err := desk.ReadAnswer("5.4 both Clear some YES"); err != nil || says != (desk.Answer{WidthM: 5.4, Parked: "both sides", View: "clear", Traffic: "some", WouldDo: "yes"}) {
		t.Errorf("a whole line is %+v, %v", says, err)
	}
}
