package desk_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loopwright/internal/assess"
	"loopwright/internal/desk"
)

const pickUp = "Eastlands Road & Saxmoor Road"

// invented opens the invented town in a folder of the test's own.
func invented(t *testing.T) *desk.Desk {
	t.Helper()
	t.Setenv("LOOPWRIGHT_DIR", t.TempDir())
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	d, err := desk.OpenDemo(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

// What a view says of a place is what the question about it says.
func TestLookAgreesWithWhy(t *testing.T) {
	d := invented(t)
	at, err := d.Find(pickUp)
	if err != nil {
		t.Fatal(err)
	}
	looked, err := d.Look(desk.LookRequest{Exercise: "turn-in-the-road", West: at.At.Lon() - 0.01, South: at.At.Lat() - 0.01, East: at.At.Lon() + 0.01, North: at.At.Lat() + 0.01})
	if err != nil || len(looked.Places) == 0 {
		t.Fatalf("%d places, %v", len(looked.Places), err)
	}
	last := assess.Suitable
	for _, p := range looked.Places {
		why, err := d.Why(desk.WhyRequest{Exercise: looked.Exercise, At: p.Kerb})
		if err != nil {
			t.Fatal(err)
		}
		if why.Verdict != p.Verdict || why.Side != p.Side || why.Road != p.Road {
			t.Errorf("%s: looked %v, %s side of %s; why %v, %s side of %s", p.Kerb, p.Verdict, p.Side, p.Road, why.Verdict, why.Side, why.Road)
		}
		if looked.Roads[p.OnMap] < p.Verdict {
			t.Errorf("%s is %v on a road that is drawn %v", p.Kerb, p.Verdict, looked.Roads[p.OnMap])
		}
		if p.Verdict > last {
			t.Errorf("%s is %v after one that is %v", p.Kerb, p.Verdict, last)
		}
		last = p.Verdict
	}
}

// The counts of an area are the lengths of the lists of places.
func TestAreaCountsThePlaces(t *testing.T) {
	d := invented(t)
	area, err := d.Area(desk.AreaRequest{Near: pickUp})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range area.Offers {
		if row.Exercise != "turn-in-the-road" && row.Exercise != "hill-start" {
			continue
		}
		for i, minutes := range area.Minutes {
			found, err := d.Places(desk.PlacesRequest{Exercise: row.Exercise, Near: pickUp, Within: minutes})
			if err != nil {
				t.Fatal(err)
			}
			fit, possible := 0, 0
			for _, p := range found.Places {
				switch p.Verdict {
				case assess.Suitable, assess.Likely:
					fit++
				case assess.Possible:
					possible++
				}
			}
			if row.Fit[i] != fit || row.Possible[i] != possible {
				t.Errorf("%s within %g minutes: %d and %d, listed %d and %d", row.Exercise, minutes, row.Fit[i], row.Possible[i], fit, possible)
			}
		}
	}
}

// A car that is turned round faces the other way; turned twice, as before.
func TestTurnRound(t *testing.T) {
	d := invented(t)
	at, err := d.Find(pickUp)
	if err != nil || at.Turned == "" {
		t.Fatalf("%+v, %v", at, err)
	}
	back, err := d.Find(at.Turned)
	if err != nil {
		t.Fatal(err)
	}
	if turned := math.Mod(back.FacesDeg-at.FacesDeg+540, 360); math.Abs(turned) > 10 && math.Abs(turned) < 350 {
		t.Errorf("faces %g, turned %g", at.FacesDeg, back.FacesDeg)
	}
	again, err := d.Find(back.Turned)
	if err != nil || math.Abs(again.FacesDeg-at.FacesDeg) > 1 {
		t.Errorf("turned twice: faces %g, was %g; %v", again.FacesDeg, at.FacesDeg, err)
	}
}

// A road that is left out is neither judged nor practised in, and a place that is
// asked for is practised in; the file says both, and Check finds nothing broken.
func TestWishesForRoads(t *testing.T) {
	d := invented(t)
	r := desk.PlanRequest{From: pickUp, Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04 10:00", Seed: 1}
	first, err := d.Plan(r)
	if err != nil {
		t.Fatal(err)
	}
	r.Without = []string{first.Circuit.Practice.Kerb}
	r.PractiseAt = first.Circuit.Backups[0].Kerb
	if first.Circuit.Backups[0].Road == first.Circuit.Practice.Road {
		t.Fatal("the backup is in the road of the practice place: choose another start")
	}
	second, err := d.Plan(r)
	if err != nil {
		t.Fatal(err)
	}
	out := first.Circuit.Practice.Road
	if got := second.Circuit.Practice; got.Road != first.Circuit.Backups[0].Road {
		t.Errorf("practises in %s, asked for %s", got.Road, first.Circuit.Backups[0].Road)
	}
	for _, e := range second.Circuit.Examples {
		if e.Road == out {
			t.Errorf("%s is judged and was left out", out)
		}
	}
	if q := second.Circuit.Request; len(q.Without) != 1 || q.PractiseAt != r.PractiseAt {
		t.Errorf("the file says %+v", q)
	}
	file := filepath.Join(t.TempDir(), "lesson.geojson")
	if err := desk.WriteFile(file, second.File); err != nil {
		t.Fatal(err)
	}
	if broken, err := d.Check(file); err != nil {
		t.Errorf("%v: %+v", err, broken)
	}
	done := make(chan struct{})
	close(done)
	r.Done = done
	if _, err := d.Plan(r); !errors.Is(err, desk.ErrStopped) {
		t.Errorf("a plan that nobody waits for: %v", err)
	}
}

// A map is indexed when its index is missing, of another extract or damaged, and
// else opened as it is.
func TestOpenMap(t *testing.T) {
	invented(t)
	town, err := filepath.Glob(filepath.Join(os.Getenv("XDG_CACHE_HOME"), "loopwright", "demo", "*.osm.pbf"))
	if err != nil || len(town) != 1 {
		t.Fatal(town, err)
	}
	bytes, err := os.ReadFile(town[0])
	if err != nil {
		t.Fatal(err)
	}
	extract := filepath.Join(t.TempDir(), "town.osm.pbf")
	index := strings.TrimSuffix(extract, ".osm.pbf") + ".idx"
	if err := os.WriteFile(extract, bytes, 0o644); err != nil {
		t.Fatal(err)
	}
	open := func() (indexed bool) {
		t.Helper()
		d, err := desk.OpenMap(context.Background(), desk.Opening{Path: extract, Country: "gb", Progress: func(string, int64, int64) { indexed = true }})
		if err != nil {
			t.Fatal(err)
		}
		d.Close()
		return indexed
	}
	if !open() {
		t.Error("a map without an index was not indexed")
	}
	if open() {
		t.Error("a map with its index was indexed again")
	}
	later := time.Now().Add(time.Hour)
	if err := os.Chtimes(extract, later, later); err != nil {
		t.Fatal(err)
	}
	if !open() {
		t.Error("a map that is newer than its index was not indexed again")
	}
	if err := os.Chtimes(extract, time.Unix(0, 0), time.Unix(0, 0)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(index, []byte("no index"), 0o644); err != nil {
		t.Fatal(err)
	}
	if !open() {
		t.Error("a map with a damaged index was not indexed again")
	}
	if _, err := desk.OpenMap(context.Background(), desk.Opening{Path: t.TempDir()}); err == nil {
		t.Error("a folder was opened as a map")
	}
}

// Plans and names are kept, listed, and gone when they are deleted.
func TestKeep(t *testing.T) {
	d := invented(t)
	planned, err := d.Plan(desk.PlanRequest{From: pickUp, Exercise: "turn-in-the-road", Minutes: 60, When: "2027-03-04 10:00", Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	k := desk.KeepIn(filepath.Join(t.TempDir(), "not", "there yet"))
	if plans, err := k.Plans(); err != nil || len(plans) != 0 {
		t.Errorf("%v, %v before anything is kept", plans, err)
	}
	saved, err := k.Save(planned.File)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := k.Save(planned.File); err != nil {
		t.Errorf("the same again: %v", err)
	}
	plans, err := k.Plans()
	if err != nil || len(plans) != 1 || plans[0].ID != saved.ID || plans[0].Title != "Turn in the road" || plans[0].From != "Eastlands Road" {
		t.Errorf("%+v, %v", plans, err)
	}
	if back, err := k.Plan(saved.ID); err != nil || string(back) != string(planned.File) {
		t.Errorf("%d bytes of %d, %v", len(back), len(planned.File), err)
	}
	for _, id := range []string{"", "../names", "0123456789abcdef", strings.Repeat("a", 17)} {
		if _, err := k.Plan(id); err == nil {
			t.Errorf("there is a plan %q", id)
		}
	}
	if _, err := k.Save([]byte("{}")); err == nil {
		t.Error("what is no plan was kept")
	}
	if err := k.Delete(saved.ID); err != nil {
		t.Error(err)
	}
	if plans, err := k.Plans(); err != nil || len(plans) != 0 {
		t.Errorf("%v, %v after it was deleted", plans, err)
	}

	for _, p := range []desk.NamedPlace{{"Station", "w1+2l"}, {"Ash School", "w3+4r"}, {"station", "w5+6l"}} {
		if err := k.Name(p); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := k.Resolve(" STATION "); err != nil || got != "w5+6l" {
		t.Errorf("Resolve = %q, %v", got, err)
	}
	if got, err := k.Resolve("Mill Lane"); err != nil || got != "Mill Lane" {
		t.Errorf("words that are no name = %q, %v", got, err)
	}
	if err := k.Name(desk.NamedPlace{Name: "Station"}); err != nil {
		t.Error(err)
	}
	if names, err := k.Names(); err != nil || len(names) != 1 || names[0].Name != "Ash School" {
		t.Errorf("%v, %v", names, err)
	}
	if err := k.Name(desk.NamedPlace{Name: " ", Kerb: "w1+2l"}); err == nil {
		t.Error("a place was given an empty name")
	}
}
