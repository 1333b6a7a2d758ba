package assess

import (
	"testing"
)

func num(x float64) *float64 { return &x }

// Each sentence is read as an instructor would: true, plain, and honest about
// what is not mapped.
func TestWordsOfFindings(t *testing.T) {
	cases := []struct {
		country string
		f       Finding
		want    string
	}{
		{"gb", Finding{Criterion: "clear-width", Low: num(4.3), High: num(6.7), Unit: "m", Limit: Limit{Min: num(6.1)}, Holds: HoldsPerhaps, Chance: 0.42, Evidence: Assumed},
			"Width: not mapped; roads like this are usually 4.3 to 6.7 m; the car needs 6.1 m. Check on the day."},
		{"us", Finding{Criterion: "clear-width", Low: num(6.4), High: num(10), Unit: "m", Limit: Limit{Min: num(6.1)}, Holds: HoldsYes, Chance: 0.88, Evidence: Assumed},
			"Width: not mapped; roads like this are usually 21 to 33 ft; the car needs 20 ft. Check on the day."},
		{"gb", Finding{Criterion: "clear-width", Low: num(7.1), High: num(7.9), Unit: "m", Limit: Limit{Min: num(6.1)}, Holds: HoldsYes, Chance: 1, Evidence: Mapped},
			"Width: by the map 7.1 to 7.9 m; the car needs 6.1 m."},
		{"gb", Finding{Criterion: "clear-width", Low: num(2.3), High: num(3.8), Unit: "m", Limit: Limit{Min: num(6.1)}, Holds: HoldsNo, Chance: 0, Evidence: Inferred},
			"Width: not mapped; one lane for both directions, so 2.3 to 3.8 m; the car needs 6.1 m. Check on the day."},
		{"gb", Finding{Criterion: "bend", Low: num(32), High: num(38), Unit: "deg", Limit: Limit{Max: num(12)}, Holds: HoldsNo, Evidence: Inferred},
			"Shape: the road turns about 35° within 30 m; 12° is straight enough."},
		{"gb", Finding{Criterion: "junction", Low: num(16), High: num(22), Unit: "m", Limit: Limit{Min: num(40)}, Holds: HoldsPerhaps, Chance: 0.3, Evidence: Inferred},
			"Junctions: the nearer one is about 19 m away; 40 m is good. Check on the day."},
		{"gb", Finding{Criterion: "junction", Value: num(500), Unit: "m", Limit: Limit{Min: num(40)}, Holds: HoldsYes, Chance: 1, Evidence: Inferred},
			"Junctions: none near on this road."},
		{"gb", Finding{Criterion: "limit", Value: num(48.3), Unit: "km/h", Limit: Limit{Max: num(50)}, Holds: HoldsYes, Chance: 1, Evidence: Mapped},
			"Speed limit: 30 mph; 30 mph or less is asked."},
		{"gb", Finding{Criterion: "limit", Low: num(32.2), High: num(48.3), Unit: "km/h", Limit: Limit{Max: num(50)}, Holds: HoldsYes, Chance: 0.99, Evidence: Assumed},
			"Speed limit: not mapped; by law 20 to 30 mph unless a sign says otherwise."},
		{"de", Finding{Criterion: "limit", Value: num(50), Unit: "km/h", Limit: Limit{Max: num(50)}, Holds: HoldsYes, Chance: 0.9, Evidence: Mapped},
			"Speed limit: 50 km/h; 50 km/h or less is asked."},
		{"us", Finding{Criterion: "limit", Unit: "km/h", Limit: Limit{Max: num(50)}, Holds: HoldsUnknown, Chance: 0.95, Evidence: Assumed},
			"Speed limit: not mapped; 30 mph or less is asked."},
		{"gb", Finding{Criterion: "mouths", Value: num(0), Limit: Limit{Max: num(0)}, Holds: HoldsYes, Chance: 1, Evidence: Inferred},
			"Openings: none mapped but house drives."},
		{"gb", Finding{Criterion: "mouths", Value: num(2), Limit: Limit{Max: num(0)}, Holds: HoldsPerhaps, Chance: 0.35, Evidence: Mapped},
			"Openings: 2 yards, car parks or service roads open here. Check on the day."},
		{"gb", Finding{Criterion: "crossing", Value: num(12), Unit: "m", Limit: Limit{Min: num(25)}, Holds: HoldsPerhaps, Chance: 0.24, Evidence: Mapped},
			"Crossings: a crossing is 12 m away; 25 m is asked. Check on the day."},
		{"gb", Finding{Criterion: "crossing", Text: "none mapped", Unit: "m", Limit: Limit{Min: num(25)}, Holds: HoldsYes, Chance: 0.95, Evidence: Assumed},
			"Crossings: none mapped near."},
		{"gb", Finding{Criterion: "parked", Text: "not mapped", Holds: HoldsPerhaps, Chance: 0.75, Evidence: Assumed},
			"Parked cars: not mapped. Check on the day."},
		{"gb", Finding{Criterion: "quiet", Text: "side road", Holds: HoldsYes, Chance: 0.85, Evidence: Assumed, Source: "traffic not known, and near the edge of the map file what lies beyond is not known either"},
			"Traffic: not known; a side road is usually quiet; near the edge of the map file."},
		{"gb", Finding{Criterion: "gradient", Unit: "%", Limit: Limit{Max: num(4)}, Holds: HoldsUnknown, Chance: 0.85, Evidence: Assumed},
			"Gradient: not known, no heights. Check on the day."},
		{"gb", Finding{Criterion: "gradient", Low: num(5.5), High: num(8.5), Unit: "%", Limit: Limit{Min: num(4), Max: num(8)}, Holds: HoldsYes, Chance: 0.9, Evidence: Mapped},
			"Gradient: about 7 %; 4 to 8 % is asked."},
		{"gb", Finding{Criterion: "surface", Holds: HoldsUnknown, Chance: 0.98, Evidence: Assumed},
			"Surface: not mapped."},
		{"gb", Finding{Criterion: "one-way", Text: "one-way", Holds: HoldsNo, Evidence: Mapped},
			"One-way: yes."},
		{"gb", Finding{Criterion: "setting", Text: "not known", Holds: HoldsUnknown},
			"Setting: town or country, the map does not say. Check on the day."},
		{"gb", Finding{Criterion: "hedges", Text: "tall", Holds: HoldsNo},
			"hedges: tall."},
	}
	for _, c := range cases {
		if got := Words(c.f, profile(t, c.country)); got != c.want {
			t.Errorf("Words(%s) = %q, want %q", c.f.Criterion, got, c.want)
		}
	}
}
