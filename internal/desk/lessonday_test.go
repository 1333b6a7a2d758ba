package desk

import (
	"testing"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/gazetteer"
	"loopwright/internal/lesson"
)

// What a lesson file says of the day, the car and the instructor comes through.
func TestReadLessonOfADay(t *testing.T) {
	r, err := lessonOf(t, `
arrive_by: 2027-03-04 11:00
order: mixed
ice: true
near_side_only: true
instructor: approved
dual_controls: true
drive_out: true
`)
	if err != nil {
		t.Fatal(err)
	}
	want := lesson.Day{Ice: true, NearSide: true, Approved: true, DualControls: true}
	if r.ArriveBy != "2027-03-04 11:00" || r.Day != want || !r.Mixed || !r.DriveOut {
		t.Errorf("read %+v", r)
	}
	if r, err = lessonOf(t, "instructor: trainee\ndual_controls: true\n"); err != nil || r.Day.Approved {
		t.Errorf("a trainee is read as %+v, %v", r.Day, err)
	}
}

// A lesson that must be over by a time begins its length before, on the clock
// of the place; a start as well is refused.
func TestArriveBy(t *testing.T) {
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	d, at := &Desk{profile: p}, gazetteer.Result{At: orb.Point{-1, 52}}
	got, err := d.when(PlanRequest{ArriveBy: "2027-07-01 11:00", Minutes: 90}, at)
	if want := time.Date(2027, 7, 1, 8, 30, 0, 0, time.UTC); err != nil || !got.Equal(want) {
		t.Errorf("to be over by eleven in July it begins at %v, %v; want %v", got, err, want)
	}
	if _, err := d.when(PlanRequest{ArriveBy: "2027-07-01 11:00", When: "2027-07-01 10:00", Minutes: 60}, at); err == nil {
		t.Error("a start and an end are both taken")
	}
}
