package manoeuvre

import (
	"os"
	"strings"
	"testing"
)

// fleet reads the table that the program carries.
func fleet(t testing.TB) map[string]Vehicle {
	t.Helper()
	data, err := os.ReadFile("../../data/vehicles.yaml")
	if err != nil {
		t.Fatal(err)
	}
	list, err := ParseVehicles("data/vehicles.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	out := make(map[string]Vehicle)
	for _, v := range list {
		out[v.ID] = v
	}
	return out
}

func TestTableHoldsTheFourClasses(t *testing.T) {
	all := fleet(t)
	for _, id := range []string{"small-hatch", "medium-hatch", "large-car", "aashto-p"} {
		if _, ok := all[id]; !ok {
			t.Errorf("no vehicle %q", id)
		}
	}
}

const goodRow = `vehicles:
  - id: van
    name: van
    length_m: {value: 5.0, source: our choice}
    width_m: {value: 1.9, source: our choice}
    wheelbase_m: {value: 3.0, source: our choice}
    front_overhang_m: {value: 1.0, source: our choice}
    rear_overhang_m: {value: 1.0, source: our choice}
    track_m: {value: 1.6, source: our choice}
    kerb_circle_m: {value: 12, source: our choice}
`

func TestParseVehiclesSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"empty file", goodRow, "", "mine.yaml: the file is empty"},
		{"no vehicles", goodRow, "vehicles: []\n", "no vehicles"},
		{"not yaml", goodRow, "vehicles: [", "mine.yaml: yaml: line 1"},
		{"unknown field", "track_m", "tracks_m", "line 9: field tracks_m not found"},
		{"no id", "id: van", "id: ''", "vehicle 1 has no id"},
		{"no name", "    name: van\n", "", `vehicle "van": no name`},
		{"no value", "{value: 12, ", "{", "kerb_circle_m has no value"},
		{"no source", "{value: 12, source: our choice}", "{value: 12}", "kerb_circle_m has no source"},
		{"text for a number", "value: 12", "value: wide", "cannot unmarshal"},
		{"centimetres", "value: 12", "value: 1200", "kerb_circle_m is 1200: it must be more than 0 and at most 30 m"},
		{"negative", "value: 1.9", "value: -1.9", "width_m is -1.9"},
		{"not a number", "value: 12", "value: .nan", "kerb_circle_m is NaN"},
		{"does not add up", "value: 5.0", "value: 5.5", "add up to 5.00 m and length_m is 5.50"},
		{"wheels outside", "value: 1.6", "value: 2.0", "track_m 2.00 is more than width_m 1.90"},
		{"turns inside itself", "value: 12", "value: 6.1", "kerb_circle_m 6.10 is too small"},
		{"twice", "", "  - id: van\n", "stands twice"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := goodRow + c.new
			if c.old != "" {
				text = strings.Replace(goodRow, c.old, c.new, 1)
			}
			_, err := ParseVehicles("mine.yaml", []byte(text))
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "mine.yaml: ") {
				t.Errorf("error = %v, want one from mine.yaml with %q", err, c.want)
			}
		})
	}
	if _, err := ParseVehicles("mine.yaml", []byte(goodRow)); err != nil {
		t.Errorf("the row that the cases break: %v", err)
	}
}

func FuzzParseVehicles(f *testing.F) {
	f.Add([]byte(goodRow))
	f.Add([]byte("vehicles: {a: &x [*x]}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ParseVehicles("f.yaml", data)
		if err != nil {
			return
		}
		for _, v := range list {
			if err := v.Check(); err != nil {
				t.Errorf("accepted %+v: %v", v, err)
			}
		}
	})
}
