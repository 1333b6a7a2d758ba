package desk_test

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"loopwright/internal/changes"
	"loopwright/internal/desk"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// drawn opens the index of a drawing.
func drawn(t *testing.T, name, drawing string, options ...roadnettest.Option) (*desk.Desk, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".idx")
	if err := roadnet.Write(path, roadnettest.Parse(t, drawing, options...)); err != nil {
		t.Fatal(err)
	}
	d, err := desk.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d, path
}

const estate = `
A 0,0
B 400,0
C 800,0
D 400,300
E 800,300
A-B Mill Lane residential 30mph width=9 lit parking=no
B-C High Street tertiary 30mph
B-D North Road residential 30mph width=7
C-E Park Road residential 30mph
D-E Church Street residential 30mph
A-D Long Lane residential
`

// A wide quiet road gets the national limit, and a new road joins it.
func TestChanges(t *testing.T) {
	t.Setenv("LOOPWRIGHT_DIR", t.TempDir())
	_, older := drawn(t, "older", estate)
	now, newer := drawn(t, "newer", `
A 0,0
B 400,0
C 800,0
D 400,300
E 800,300
F 600,-300
A-B Mill Lane residential 60mph width=9 lit parking=no
B-C High Street tertiary 30mph
B-D North Road residential 30mph width=7
C-E Park Road residential 30mph
D-E Church Street residential 30mph
A-D Long Lane residential
B-F New Road residential
`)
	when := time.Date(2027, 3, 4, 10, 0, 0, 0, time.UTC)
	found, err := now.Changes(context.Background(), desk.ChangesRequest{Since: older, Now: when})
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, c := range found.Changes {
		said = append(said, c.String())
	}
	if want := []string{"Mill Lane: speed limit was 30 mph, now 60 mph", "New Road: new road, residential"}; !slices.Equal(said, want) {
		t.Errorf("changes %q, want %q", said, want)
	}
	i := slices.IndexFunc(found.Places, func(p desk.ChangedPlace) bool { return p.Exercise == "turn-in-the-road" && p.Road == "Mill Lane" })
	if i < 0 || found.Places[i].Is >= found.Places[i].Was {
		t.Errorf("a turn in the road in Mill Lane at 60 mph is judged no worse than at 30: %+v", found.Places)
	}
	// From the far end in a minute, only what lies near is told.
	near, err := now.Changes(context.Background(), desk.ChangesRequest{Since: older, Near: "Church Street", Within: 0.3, Now: when})
	if err != nil {
		t.Fatal(err)
	}
	if len(near.Changes) != 0 {
		t.Errorf("told within 20 seconds of Church Street: %v", near.Changes)
	}
	// The other way round, the new road is gone.
	old, err := desk.Open(older)
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	back, err := old.Changes(context.Background(), desk.ChangesRequest{Since: newer, Now: when})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(back.Changes, func(c desk.Change) bool { return c.Kind == changes.RoadGone && c.Road == "New Road" }) {
		t.Errorf("New Road is not told as gone: %v", back.Changes)
	}
}

func TestChangesRefused(t *testing.T) {
	t.Setenv("LOOPWRIGHT_DIR", t.TempDir())
	d, _ := drawn(t, "here", estate)
	_, abroad := drawn(t, "abroad", estate, roadnettest.Country("de"))
	for _, r := range []desk.ChangesRequest{
		{Since: abroad},
		{Since: filepath.Join(t.TempDir(), "none.idx")},
	} {
		var f *desk.Fault
		if _, err := d.Changes(context.Background(), r); !errors.As(err, &f) || f.Hint == "" {
			t.Errorf("%+v: %v, want one sentence and what to do", r, err)
		}
	}
}
