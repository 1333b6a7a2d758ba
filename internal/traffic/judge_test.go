package traffic

import (
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// A ring of main roads; a lane that saves the corner at B; closes and an estate
// with one way in; a road for residents; a road that nothing joins.
const ring = `
	A 0,0
	R 1000,0
	W 2300,0
	P 2700,0
	B 3000,0
	Q 3000,300
	C 3000,3000
	T 1500,3000
	D 0,3000
	Y 0,1500
	A-R-W-P-B Mill Road secondary 30mph
	B-Q-C Station Road tertiary 30mph
	C-T-D-Y-A trunk 60mph ref=A1
	P-Q Back Lane residential 30mph
	S 1000,-150
	R-S Orchard Close residential
	K 1000,150
	R-K Cherry Close residential
	F 2300,-200
	W-F Long Row residential
	U 1500,3200
	V 1700,3200
	X 1700,3400
	T-U Park Way residential
	U-V-X-U Park Crescent residential
	L 1900,3400
	X-L Park End residential
	Z -200,1500
	Y-Z Manor Drive destination
	M 9000,9000
	N 9100,9000
	M-N Lost Lane residential
`

// homesOf gives each stretch of a named road so many homes.
func homesOf(n *roadnet.Network, homes map[string]uint32) []uint32 {
	out := make([]uint32, n.NumStretches())
	for s := range out {
		out[s] = homes[n.Name(n.NameOf(roadnet.StretchID(s)))]
	}
	return out
}

func stretchNamed(t *testing.T, n *roadnet.Network, name string) roadnet.StretchID {
	t.Helper()
	for s := range roadnet.StretchID(n.NumStretches()) {
		if n.Name(n.NameOf(s)) == name || n.RefOf(s) == name {
			return s
		}
	}
	t.Fatalf("no stretch is called %s", name)
	return 0
}

// mark gives one value to one road.
func mark[T any](t *testing.T, n *roadnet.Network, name string, value T) []T {
	out := make([]T, n.NumStretches())
	out[stretchNamed(t, n, name)] = value
	return out
}

func measure(t *testing.T, n *roadnet.Network, f Facts) *Quiet {
	t.Helper()
	return Measure(n, weights(t, n, gb(t)), f, 1)
}

func gb(t *testing.T) *country.Profile {
	t.Helper()
	p, err := country.ByCode("gb")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestReasons(t *testing.T) {
	n := roadnettest.Parse(t, ring)
	homes := homesOf(n, map[string]uint32{"Orchard Close": 14, "Long Row": 400, "Park Way": 30, "Park Crescent": 90, "Park End": 20, "Manor Drive": 5, "Lost Lane": 8})
	q := measure(t, n, Facts{Homes: homes, Bus: mark(t, n, "Station Road", true), Schools: mark(t, n, "Orchard Close", uint32(1))})
	for road, want := range map[string]string{
		"Orchard Close": "own traffic only, but of many: one way in, 14 homes; a school",
		"Back Lane":     "some through traffic: cuts the corner between Station Road and Mill Road",
		"Long Row":      "some through traffic: on the only way in to 400 homes",
		"Park Way":      "own traffic only, but of many: one way in, 230 homes",
		"Park Crescent": "own traffic only: one way in, 200 homes",
		"Park End":      "own traffic only: one way in, 20 homes",
		"Manor Drive":   "own traffic only: for residents and callers",
		"Lost Lane":     "not known: the map joins it to no other public road",
		"Station Road":  "busy: bus route, tertiary road",
		"Mill Road":     "busy: secondary road",
		"A1":            "busy: trunk road",
	} {
		if got := q.At(stretchNamed(t, n, road)).Reason(n); got != want {
			t.Errorf("%s: %q, want %q", road, got, want)
		}
	}
}

// What is not mapped is estimated by length, and said to be; what lies near
// the rim is not known; a bus, a school or a shop makes a road less quiet.
func TestReasonsByFacts(t *testing.T) {
	const fifteen = "own traffic only: one way in, about 10 homes" // 150 m at 15 m a home
	for _, c := range []struct {
		name, road, want string
		facts            func(t *testing.T, n *roadnet.Network) Facts
		options          []roadnettest.Option
	}{
		{"nothing known", "Orchard Close", fifteen, nil, nil},
		{"no homes on a road where homes are mapped", "Orchard Close", "own traffic only: one way in, no homes", func(t *testing.T, n *roadnet.Network) Facts {
			return Facts{Homes: homesOf(n, map[string]uint32{"Cherry Close": 50})}
		}, nil},
		{"one home", "Orchard Close", "own traffic only: one way in, 1 home", func(t *testing.T, n *roadnet.Network) Facts {
			return Facts{Homes: homesOf(n, map[string]uint32{"Cherry Close": 50, "Orchard Close": 1})}
		}, nil},
		{"bus route", "Orchard Close", "some through traffic: bus route", func(t *testing.T, n *roadnet.Network) Facts {
			return Facts{Bus: mark(t, n, "Orchard Close", true)}
		}, nil},
		{"shops on a road that few use", "Back Lane", "some through traffic: shops", func(t *testing.T, n *roadnet.Network) Facts {
			return Facts{Homes: homesOf(n, map[string]uint32{"Long Row": 10}), Shops: mark(t, n, "Back Lane", uint32(1))}
		}, nil},
		{"little passes", "Back Lane", "light traffic: few ways lead along it", nil, nil},
		{"tertiary without buses", "Station Road", "some through traffic: tertiary road", nil, nil},
		{"near the rim", "Orchard Close", "not known: too near the edge of the map file", nil,
			[]roadnettest.Option{roadnettest.Bounds(-5000, -200, 10000, 10000)}},
		{"a cut-through near the rim", "Back Lane", "some through traffic: cuts the corner between Station Road and Mill Road; near the edge of the map file, so more may pass",
			func(t *testing.T, n *roadnet.Network) Facts {
				return Facts{Homes: homesOf(n, map[string]uint32{"Long Row": 400, "Park Crescent": 100})}
			}, []roadnettest.Option{roadnettest.Bounds(-5000, -5000, 3100, 10000)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := roadnettest.Parse(t, ring, c.options...)
			var f Facts
			if c.facts != nil {
				f = c.facts(t, n)
			}
			if got := measure(t, n, f).At(stretchNamed(t, n, c.road)).Reason(n); got != c.want {
				t.Errorf("%s: %q, want %q", c.road, got, c.want)
			}
		})
	}
}

// The homes of a zone of residents use the roads to its gates: moving them
// into the zone and out again moves nothing else.
func TestHomesOfAZoneStandAtItsGates(t *testing.T) {
	n := roadnettest.Parse(t, ring)
	m := surveyOf(n, weights(t, n, gb(t)), Facts{Homes: homesOf(n, map[string]uint32{"Manor Drive": 60})})
	gate := roadnettest.Node(t, n, "Y")
	if got := m.gates[gate].homes; got != 60 {
		t.Errorf("homes at the gate: %v, want 60", got)
	}
	if got := m.ends[roadnettest.Node(t, n, "Z")]; got != 0 {
		t.Errorf("ends within the zone: %v, want 0", got)
	}
}

// Every word is there, and no two alike.
func TestWords(t *testing.T) {
	seen := map[string]bool{}
	once := func(word string) {
		t.Helper()
		if word == "" || seen[word] {
			t.Errorf("%q is empty or there twice", word)
		}
		seen[word] = true
	}
	for b := range bandCount {
		once(b.String())
	}
	for c := range causeCount {
		once(c.String())
	}
	n := roadnettest.Parse(t, ring)
	for c := range causeCount {
		once(Row{Cause: c, Class: extract.Secondary, From: none, To: none, Marks: School}.Reason(n))
	}
	for _, of := range []float64{0, 0.2, 0.5, 0.8, 1} {
		once(Share{Known: true, Of: of}.String())
	}
}
