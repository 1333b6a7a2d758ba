package demotown

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"
)

const morning = 11 // the hour at which the truth is counted

// Everything that the program judges occurs at least five times, on stretches
// of their own, in each of the worlds: a test of the assessment has something
// to find.
func TestTruthHasEverything(t *testing.T) {
	town, _ := shipped()
	records := town.records()
	for w := Narrow; w <= Wide; w++ {
		t.Run(w.String(), func(t *testing.T) {
			found := map[string]map[int]bool{}
			see := func(what fmt.Stringer, k *Record) {
				if found[what.String()] == nil {
					found[what.String()] = map[int]bool{}
				}
				found[what.String()][k.Stretch] = true
			}
			for _, k := range records {
				for _, e := range Exercises {
					if k.Suits(e, w, morning) {
						see(e, k)
					}
				}
				for _, r := range k.Reasons(w, morning) {
					see(r, k)
				}
				for _, p := range k.Topics(w, morning) {
					see(p, k)
				}
			}
			for _, list := range [][]fmt.Stringer{stringers(Exercises), stringers(Reasons), stringers(Topics)} {
				for _, what := range list {
					least := 5
					if what == fmt.Stringer(ParkedUp) && w == Wide {
						least = 1 // few streets are full where cars are fewest
					}
					if n := len(found[what.String()]); n < least {
						t.Errorf("%T %q occurs on %d stretches, want %d", what, what, n, least)
					}
				}
			}
		})
	}
}

func stringers[T fmt.Stringer](values []T) []fmt.Stringer {
	out := make([]fmt.Stringer, len(values))
	for i, v := range values {
		out[i] = v
	}
	return out
}

// The worlds are ordered: never wider in the narrow one, never more cars in
// the wide one; and where the width is on the map they agree.
func TestWorldsAreOrdered(t *testing.T) {
	town, _ := shipped()
	differ := 0
	for _, s := range town.stretches {
		if s.width[Narrow] > s.width[Stated] || s.width[Stated] > s.width[Wide] {
			t.Errorf("stretch %d is %v m wide", s.id, s.width)
		}
		if s.road.measured && s.width[Narrow] != s.width[Wide] {
			t.Errorf("stretch %d has a measured width, and worlds of %v m", s.id, s.width)
		}
		if s.width[Narrow] < s.width[Wide] {
			differ++
		}
		for _, p := range s.pass {
			for h := range 24 {
				if p.parked[Narrow][h] < p.parked[Stated][h] || p.parked[Stated][h] < p.parked[Wide][h] {
					t.Errorf("stretch %d has %v cars at %d", s.id, [3]int{p.parked[Narrow][h], p.parked[Stated][h], p.parked[Wide][h]}, h)
				}
			}
		}
	}
	if 10*differ < 9*len(town.stretches) {
		t.Errorf("only %d of %d stretches differ between the worlds", differ, len(town.stretches))
	}
}

// Parts of a stretch lie on their way, one after the other, and every public
// way of the map has its truth.
func TestTruthCoversTheMap(t *testing.T) {
	town, m := shipped()
	covered := map[int64]float64{}
	for _, k := range town.records() {
		if k.From < -0.01 || k.To <= k.From {
			t.Errorf("way %d: part from %.1f to %.1f m", k.Way, k.From, k.To)
		}
		if k.Side == Left {
			covered[k.Way] += float64(k.To - k.From)
		}
	}
	for _, r := range town.roads {
		if !r.class.public() {
			continue
		}
		for _, w := range town.ways[r] {
			long := town.along(r, w.to) - town.along(r, w.from)
			if d := covered[w.id] - long; d > 0.1 || d < -0.1 {
				t.Errorf("way %d (%s) is %.1f m long, its truth %.1f m", w.id, r.name, long, covered[w.id])
			}
		}
	}
	refs := map[int64][]int64{}
	for _, w := range m.ways {
		refs[w.id] = w.refs
	}
	for _, k := range town.records() {
		at := map[int64]int{}
		for i, ref := range refs[k.Way] {
			if _, ok := at[ref]; !ok {
				at[ref] = i
			}
		}
		a, okA := at[k.FromNode]
		b, okB := at[k.ToNode]
		if !okA || !okB || (a >= b && !(b == 0 && refs[k.Way][len(refs[k.Way])-1] == k.ToNode)) {
			t.Errorf("way %d: nodes %d and %d are not on it in this order", k.Way, k.FromNode, k.ToNode)
		}
	}
}

func TestReadTruthReadsWhatIsWritten(t *testing.T) {
	town, _ := shipped()
	want := town.records()
	var first, second bytes.Buffer
	if err := writeTruth(&first, want); err != nil {
		t.Fatal(err)
	}
	got, err := ReadTruth(bytes.NewReader(first.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) {
		t.Fatalf("%d records, want %d", len(got), len(want))
	}
	for i := range got {
		if got[i].OtherSide == nil || got[i].OtherSide.OtherSide != got[i] || got[i].OtherSide.Way != got[i].Way {
			t.Fatalf("record %d does not know its other side", i)
		}
		if got[i].Side != want[i].Side || !reflect.DeepEqual(got[i].Parked, want[i].Parked) || len(got[i].Marks) != len(want[i].Marks) {
			t.Fatalf("record %d reads as %+v, want %+v", i, got[i], want[i])
		}
	}
	if err := writeTruth(&second, got); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("written again, the truth differs")
	}
}

func TestReadTruthNamesTheFault(t *testing.T) {
	town, _ := shipped()
	var b bytes.Buffer
	if err := writeTruth(&b, town.records()[:4]); err != nil {
		t.Fatal(err)
	}
	good := b.String()
	for _, c := range []struct{ name, text, want string }{
		{"no header", "", "read the truth"},
		{"another column", strings.Replace(good, "from_node", "start", 1), `"from_node"`},
		{"a bad number", strings.Replace(good, "\n0,", "\nx,", 1), "line 2, column stretch"},
		{"a bad word", strings.Replace(good, ",yes,", ",perhaps,", 1), "neither yes nor no"},
		{"a short line", good + "1,2\n", "wrong number of fields"},
	} {
		if _, err := ReadTruth(strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

// Every constant has a word of its own, and what is none of them is unknown.
func TestWordsOfEnumerations(t *testing.T) {
	for _, c := range []struct {
		name string
		of   func(int) fmt.Stringer
		last int
	}{
		{"exercise", func(i int) fmt.Stringer { return Exercise(i) }, int(EmergencyStop)},
		{"reason", func(i int) fmt.Stringer { return Reason(i) }, int(Unlit)},
		{"topic", func(i int) fmt.Stringer { return Topic(i) }, int(FollowingSigns)},
		{"traffic", func(i int) fmt.Stringer { return Traffic(i) }, int(Busy)},
		{"side", func(i int) fmt.Stringer { return Side(i) }, int(Right)},
		{"feature", func(i int) fmt.Stringer { return featureKind(i) }, int(passingPlace)},
		{"junction", func(i int) fmt.Stringer { return junctionKind(i) }, int(atSignals)},
	} {
		seen := map[string]bool{}
		for i := 1; i <= c.last; i++ {
			s := c.of(i).String()
			if s == "unknown" || seen[s] {
				t.Errorf("%s %d is called %q", c.name, i, s)
			}
			seen[s] = true
		}
		if c.of(0).String() != "unknown" || c.of(c.last+1).String() != "unknown" {
			t.Errorf("%s: 0 and %d should be unknown", c.name, c.last+1)
		}
	}
	for i, want := range []string{"narrow", "stated", "wide", "unknown"} {
		if got := World(i).String(); got != want {
			t.Errorf("world %d is called %q, want %q", i, got, want)
		}
	}
	seen := map[string]bool{}
	for q := countryside; q <= riverside; q++ {
		if s := q.String(); s == "unknown" || seen[s] || districts[q] == nil || districts[q].name != q {
			t.Errorf("district %d is called %q", q, s)
		} else {
			seen[s] = true
		}
	}
	if quarter(riverside+1).String() != "unknown" {
		t.Error("a district too many")
	}
	for c := trunk; c <= unbuilt; c++ {
		if c.String() == "unknown" {
			t.Errorf("class %d has no word", c)
		}
	}
	if unknownClass.String() != "unknown" {
		t.Error("the unknown class has a word")
	}
	if len(Exercises) != int(EmergencyStop) || len(Reasons) != int(Unlit) || len(Topics) != int(FollowingSigns) {
		t.Error("a list leaves something out")
	}
}
