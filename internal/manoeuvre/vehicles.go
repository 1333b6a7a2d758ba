package manoeuvre

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"

	"go.yaml.in/yaml/v3"

	"loopwright/internal/geo"
)

// sourced is a value of the table with where it comes from.
type sourced struct {
	Value  *float64 `yaml:"value"`
	Source string   `yaml:"source"`
}

// vehicleRow is a vehicle as the file has it.
type vehicleRow struct {
	ID            string  `yaml:"id"`
	Name          string  `yaml:"name"`
	Length        sourced `yaml:"length_m"`
	Width         sourced `yaml:"width_m"`
	Wheelbase     sourced `yaml:"wheelbase_m"`
	FrontOverhang sourced `yaml:"front_overhang_m"`
	RearOverhang  sourced `yaml:"rear_overhang_m"`
	Track         sourced `yaml:"track_m"`
	KerbCircle    sourced `yaml:"kerb_circle_m"`
}

// ParseVehicles reads a table of vehicle classes (data/vehicles.yaml shows the
// form) and gives them in the file's order. file is the name for messages. A
// field that the form does not have, a value without its source, or a car that
// can't exist is an error which names file, vehicle and field.
func ParseVehicles(file string, data []byte) ([]Vehicle, error) {
	var table struct {
		Vehicles []vehicleRow `yaml:"vehicles"`
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	dec.KnownFields(true)
	if err := dec.Decode(&table); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%s: the file is empty: it needs a list named vehicles", file)
		}
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(table.Vehicles) == 0 {
		return nil, fmt.Errorf("%s: no vehicles: list at least one under vehicles", file)
	}
	seen := make(map[string]bool)
	out := make([]Vehicle, 0, len(table.Vehicles))
	for i, row := range table.Vehicles {
		if row.ID == "" {
			return nil, fmt.Errorf("%s: vehicle %d has no id: give it one", file, i+1)
		}
		if seen[row.ID] {
			return nil, fmt.Errorf("%s: vehicle %q stands twice: remove one or change its id", file, row.ID)
		}
		seen[row.ID] = true
		v, err := row.vehicle()
		if err != nil {
			return nil, fmt.Errorf("%s: vehicle %q: %w", file, row.ID, err)
		}
		out = append(out, v)
	}
	return out, nil
}

func (r vehicleRow) vehicle() (Vehicle, error) {
	v := Vehicle{ID: r.ID, Name: r.Name}
	if v.Name == "" {
		return v, fmt.Errorf("no name: give the words to show")
	}
	for _, f := range []struct {
		key string
		in  sourced
		to  *geo.Metres
	}{
		{"length_m", r.Length, &v.Length},
		{"width_m", r.Width, &v.Width},
		{"wheelbase_m", r.Wheelbase, &v.Wheelbase},
		{"front_overhang_m", r.FrontOverhang, &v.FrontOverhang},
		{"rear_overhang_m", r.RearOverhang, &v.RearOverhang},
		{"track_m", r.Track, &v.Track},
		{"kerb_circle_m", r.KerbCircle, &v.KerbCircle},
	} {
		switch {
		case f.in.Value == nil:
			return v, fmt.Errorf("%s has no value: write it as {value: metres, source: where from}", f.key)
		case f.in.Source == "":
			return v, fmt.Errorf("%s has no source: name it, or write our choice and why", f.key)
		case math.IsNaN(*f.in.Value) || *f.in.Value <= 0 || *f.in.Value > longest:
			return v, fmt.Errorf("%s is %v: it must be more than 0 and at most %d m", f.key, *f.in.Value, longest)
		}
		*f.to = geo.Metres(*f.in.Value)
	}
	return v, v.Check()
}

// longest bounds every measure of the table: 30 m is beyond any vehicle on
// which one may learn (our choice, to catch centimetres and feet).
const longest = 30

// Check says what is wrong with a vehicle, or nil. The parts must add up to the
// length within 1 cm, the wheels stand within the body, and the turning centre
// lie outside it.
func (v Vehicle) Check() error {
	if sum := v.Wheelbase + v.FrontOverhang + v.RearOverhang; math.Abs(float64(sum-v.Length)) > 0.01 {
		return fmt.Errorf("wheelbase and overhangs add up to %.2f m and length_m is %.2f: mend one of them", sum, v.Length)
	}
	if v.Track > v.Width {
		return fmt.Errorf("track_m %.2f is more than width_m %.2f: the wheels stand within the body", v.Track, v.Width)
	}
	if r := v.InnerSideRadius(); !(r > 0) {
		return fmt.Errorf("kerb_circle_m %.2f is too small for this wheelbase and width: the car would turn about a point inside itself", v.KerbCircle)
	}
	return nil
}
