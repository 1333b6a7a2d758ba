package demotown

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"loopwright/internal/geo"
)

// column is one column of truth.csv, written and read by the same line.
type column struct {
	name  string
	write func(*Record) string
	read  func(*Record, string) error
}

func whole(name string, at func(*Record) *int) column {
	return column{name, func(k *Record) string { return strconv.Itoa(*at(k)) }, func(k *Record, s string) (err error) {
		*at(k), err = strconv.Atoi(s)
		return err
	}}
}

func number(name string, at func(*Record) *int64) column {
	return column{name, func(k *Record) string { return strconv.FormatInt(*at(k), 10) }, func(k *Record, s string) (err error) {
		*at(k), err = strconv.ParseInt(s, 10, 64)
		return err
	}}
}

func decimal[T ~float64](name string, at func(*Record) *T) column {
	return column{name, func(k *Record) string { return strconv.FormatFloat(math.Round(float64(*at(k))*10)/10, 'f', -1, 64) }, func(k *Record, s string) error {
		v, err := strconv.ParseFloat(s, 64)
		*at(k) = T(v)
		return err
	}}
}

func claim(name string, at func(*Record) *bool) column {
	return column{name, func(k *Record) string {
		if *at(k) {
			return "yes"
		}
		return "no"
	}, func(k *Record, s string) error {
		*at(k) = s == "yes"
		if s != "yes" && s != "no" {
			return fmt.Errorf("%q is neither yes nor no", s)
		}
		return nil
	}}
}

func word(name string, at func(*Record) *string) column {
	return column{name, func(k *Record) string { return *at(k) }, func(k *Record, s string) error {
		*at(k) = s
		return nil
	}}
}

// columns are the columns of truth.csv in order.
var columns = append([]column{
	whole("stretch", func(k *Record) *int { return &k.Stretch }),
	number("way", func(k *Record) *int64 { return &k.Way }),
	number("from_node", func(k *Record) *int64 { return &k.FromNode }),
	number("to_node", func(k *Record) *int64 { return &k.ToNode }),
	decimal("from_m", func(k *Record) *geo.Metres { return &k.From }),
	decimal("to_m", func(k *Record) *geo.Metres { return &k.To }),
	{"side", func(k *Record) string { return k.Side.String() }, func(k *Record, s string) error {
		return choose(s, &k.Side, Left, Right)
	}},
	word("district", func(k *Record) *string { return &k.District }),
	word("class", func(k *Record) *string { return &k.Class }),
	decimal("length_m", func(k *Record) *geo.Metres { return &k.Length }),
	decimal("straight_m", func(k *Record) *geo.Metres { return &k.Straight }),
	decimal("gradient_pct", func(k *Record) *float64 { return &k.Gradient }),
	decimal("steepest_pct", func(k *Record) *float64 { return &k.Steepest }),
	{"bend_deg", func(k *Record) string { return strconv.FormatFloat(math.Round(k.Bend.Degrees()*10)/10, 'f', -1, 64) }, func(k *Record, s string) error {
		v, err := strconv.ParseFloat(s, 64)
		k.Bend = geo.Radians(v) * geo.Degree
		return err
	}},
	decimal("sight_along_m", func(k *Record) *geo.Metres { return &k.SightAlong }),
	{"traffic", func(k *Record) string { return k.Traffic.String() }, func(k *Record, s string) error {
		return choose(s, &k.Traffic, Own, Light, Through, Busy)
	}},
	decimal("vehicles_per_hour", func(k *Record) *float64 { return &k.Vehicles }),
	whole("limit_mph", func(k *Record) *int { return &k.LimitMPH }),
	claim("learner", func(k *Record) *bool { return &k.Learner }),
	word("surface", func(k *Record) *string { return &k.Surface }),
	claim("one_way", func(k *Record) *bool { return &k.OneWay }),
	claim("dual", func(k *Record) *bool { return &k.Dual }),
	claim("lit", func(k *Record) *bool { return &k.Lit }),
	claim("bus_route", func(k *Record) *bool { return &k.BusRoute }),
	decimal("school_m", func(k *Record) *geo.Metres { return &k.School }),
	whole("homes", func(k *Record) *int { return &k.Homes }),
	whole("drives", func(k *Record) *int { return &k.Drives }),
	whole("hedges", func(k *Record) *int { return &k.Hedges }),
	decimal("kerb_m", func(k *Record) *geo.Metres { return &k.Kerb }),
	claim("barred", func(k *Record) *bool { return &k.Barred }),
	whole("bays", func(k *Record) *int { return &k.Bays }),
	claim("public_bays", func(k *Record) *bool { return &k.PublicBays }),
	word("ahead", func(k *Record) *string { return &k.Ahead }),
	whole("ahead_arms", func(k *Record) *int { return &k.AheadArms }),
	decimal("sight_left_m", func(k *Record) *geo.Metres { return &k.SightLeft }),
	decimal("sight_right_m", func(k *Record) *geo.Metres { return &k.SightRight }),
	claim("signed", func(k *Record) *bool { return &k.Signed }),
	decimal("left_corner_m", func(k *Record) *geo.Metres { return &k.LeftCorner }),
	{"marks", writeMarks, readMarks},
}, worldColumns()...)

// worldColumns are the widths and the parked cars of each world, 24 numbers
// from midnight on.
func worldColumns() []column {
	var out []column
	for w := Narrow; w <= Wide; w++ {
		out = append(out, decimal("width_"+w.String()+"_m", func(k *Record) *geo.Metres { return &k.Width[w] }))
	}
	for w := Narrow; w <= Wide; w++ {
		out = append(out, column{"parked_" + w.String(), func(k *Record) string {
			return strings.Trim(fmt.Sprint(k.Parked[w]), "[]")
		}, func(k *Record, s string) error {
			hours := strings.Fields(s)
			if len(hours) != 24 {
				return fmt.Errorf("%d hours, not 24", len(hours))
			}
			for h := range hours {
				n, err := strconv.Atoi(hours[h])
				if err != nil {
					return err
				}
				k.Parked[w][h] = n
			}
			return nil
		}})
	}
	return out
}

// choose sets the value whose word is s.
func choose[T fmt.Stringer](s string, to *T, values ...T) error {
	for _, v := range values {
		if v.String() == s {
			*to = v
			return nil
		}
	}
	return fmt.Errorf("%q is none of its words", s)
}

// writeMarks writes "hump@45; bus stop@80?", the question mark for what the
// map lacks.
func writeMarks(k *Record) string {
	words := make([]string, len(k.Marks))
	for i, m := range k.Marks {
		words[i] = fmt.Sprintf("%s@%.0f", m.Kind, float64(m.Along))
		if !m.Mapped {
			words[i] += "?"
		}
	}
	return strings.Join(words, "; ")
}

func readMarks(k *Record, s string) error {
	if s == "" {
		return nil
	}
	for _, word := range strings.Split(s, "; ") {
		kind, at, ok := strings.Cut(strings.TrimSuffix(word, "?"), "@")
		along, err := strconv.ParseFloat(at, 64)
		if !ok || err != nil {
			return fmt.Errorf("mark %q is not a kind @ metres", word)
		}
		k.Marks = append(k.Marks, Mark{kind, geo.Metres(along), !strings.HasSuffix(word, "?")})
	}
	return nil
}

func writeTruth(w io.Writer, records []*Record) error {
	out := csv.NewWriter(w)
	line := make([]string, len(columns))
	for i, c := range columns {
		line[i] = c.name
	}
	if err := out.Write(line); err != nil {
		return err
	}
	for _, k := range records {
		for i, c := range columns {
			line[i] = c.write(k)
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// ReadTruth reads truth.csv. The two sides of a part know each other. An error
// names the line and the column.
func ReadTruth(r io.Reader) ([]*Record, error) {
	in := csv.NewReader(r)
	in.ReuseRecord = true
	head, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("read the truth: %w", err)
	}
	for i, c := range columns {
		if i >= len(head) || head[i] != c.name {
			return nil, fmt.Errorf("read the truth: column %d should be %q; make the town anew with go generate ./data", i+1, c.name)
		}
	}
	var out []*Record
	for n := 2; ; n++ {
		line, err := in.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("read the truth: %w", err)
		}
		k := &Record{}
		for i, c := range columns {
			if err := c.read(k, line[i]); err != nil {
				return nil, fmt.Errorf("read the truth: line %d, column %s: %w", n, c.name, err)
			}
		}
		if k.Side == Right && len(out) > 0 {
			k.OtherSide, out[len(out)-1].OtherSide = out[len(out)-1], k
		}
		out = append(out, k)
	}
}
