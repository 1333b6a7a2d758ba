package country

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"time"
	_ "time/tzdata" // the zones of the table, on machines that have none

	"github.com/paulmach/orb"

	"loopwright/data"
)

const file = "countries.yaml"

var table = sync.OnceValue(func() []*Profile {
	text, err := data.Tables.ReadFile(file)
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	profiles, err := Parse("data/"+file, text)
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	return profiles
})

// All gives the profiles in the table's order.
func All() []*Profile { return append([]*Profile(nil), table()...) }

// ByCode gives the profile with a code; the error lists the codes there are.
func ByCode(code string) (*Profile, error) {
	codes := make([]string, 0, len(table()))
	for _, p := range table() {
		if p.Code == code {
			return p, nil
		}
		codes = append(codes, p.Code)
	}
	return nil, fmt.Errorf("no country %q: it is one of %s", code, strings.Join(codes, ", "))
}

// Locate gives the profiles with a box that holds the middle of b. None, or
// several where boxes overlap at a border, means that the position does not
// decide and the user must say: the side of the road is never guessed.
func Locate(b orb.Bound) []*Profile {
	var out []*Profile
	middle := b.Center()
	for _, p := range table() {
		for _, x := range p.Boxes {
			if x.Holds(middle.Lon(), middle.Lat()) {
				out = append(out, p)
				break
			}
		}
	}
	return out
}

// ZoneAt gives the time zone at a position. Where the country is not known
// ("left", "right") it is the zone of the clock by longitude, whole hours from
// Greenwich (written as IANA's Etc/GMT-1 for one hour ahead of it), which knows neither summer time nor the law's borders.
// A position in no zone of its country is an error.
func (p *Profile) ZoneAt(at orb.Point) (*time.Location, error) {
	for _, z := range p.Zones {
		if !z.Everywhere && !z.Box.Holds(at.Lon(), at.Lat()) {
			continue
		}
		name := z.Name
		if name == "" {
			name = fmt.Sprintf("Etc/GMT%+d", -int(math.Round(at.Lon()/15)))
		}
		zone, err := time.LoadLocation(name)
		if err != nil {
			return nil, fmt.Errorf("the time zone of %s: %w", p.Name, err)
		}
		return zone, nil
	}
	return nil, fmt.Errorf("%.4f,%.4f lies in no time zone known for %s", at.Lat(), at.Lon(), p.Name)
}
