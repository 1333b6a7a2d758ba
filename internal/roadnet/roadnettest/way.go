package roadnettest

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

var classes = map[string]extract.Class{
	"motorway": extract.Motorway, "trunk": extract.Trunk, "primary": extract.Primary, "secondary": extract.Secondary,
	"tertiary": extract.Tertiary, "unclassified": extract.Unclassified, "residential": extract.Residential,
	"living_street": extract.LivingStreet, "service": extract.ServiceRoad, "track": extract.Track,
}

var uses = map[string]extract.Use{
	"destination": extract.Destination, "private": extract.Private, "barred": extract.Barred,
}

var parkings = map[string]extract.ParkingPosition{
	"no": extract.ParkingNone, "lane": extract.ParkingLane, "half_on_kerb": extract.ParkingHalfKerb,
	"on_kerb": extract.ParkingKerb, "street_side": extract.ParkingStreetSide,
}

var speed = regexp.MustCompile(`^([0-9]+)(mph|kmh)$`)

// way reads "A-B-C" or "A>B>C" and the words after it.
func (d *drawing) way(path string, words []string) error {
	oneWay := strings.Contains(path, ">")
	if oneWay && strings.Contains(path, "-") {
		return fmt.Errorf("%q is one way in part", path)
	}
	r := &extract.Road{ID: extract.WayID(len(d.x.Roads) + 1), Class: extract.Residential, Use: extract.Through}
	for _, name := range strings.FieldsFunc(path, func(c rune) bool { return c == '-' || c == '>' }) {
		n, err := d.named(name)
		if err != nil {
			return err
		}
		r.Nodes = append(r.Nodes, n.ID)
	}
	if len(r.Nodes) < 2 {
		return fmt.Errorf("%q has fewer than two nodes", path)
	}
	var name []string
	for _, word := range words {
		known, err := attribute(r, word)
		if err != nil {
			return err
		}
		if !known {
			if c := word[0]; c >= 'a' && c <= 'z' {
				return fmt.Errorf("%q is no word for a way", word)
			}
			name = append(name, word)
		}
	}
	r.Name = strings.Join(name, " ")
	r.UseForward, r.UseBackward = r.Use, r.Use
	if oneWay || r.Roundabout {
		r.UseBackward = extract.Barred
	}
	r.LivingStreet = r.Class == extract.LivingStreet
	d.x.Roads = append(d.x.Roads, r)
	return nil
}

// attribute sets what one word says; false if it may be part of a name.
func attribute(r *extract.Road, word string) (known bool, err error) {
	if class, ok := classes[word]; ok {
		r.Class = class
		return true, nil
	}
	if use, ok := uses[word]; ok {
		r.Use = use
		return true, nil
	}
	if m := speed.FindStringSubmatch(word); m != nil {
		n, err := strconv.Atoi(m[1])
		unit := geo.KilometrePerHour
		if m[2] == "mph" {
			unit = geo.MilePerHour
		}
		v := geo.MetresPerSecond(n) * unit
		r.LimitForward = extract.Limit{Low: v, High: v, Source: extract.LimitMapped}
		r.LimitBackward = r.LimitForward
		return true, err
	}
	if key, value, ok := strings.Cut(word, "="); ok {
		return true, keyed(r, key, value)
	}
	switch word {
	case "driveway", "parking_aisle":
		r.Service = word
	case "dual":
		r.DualTag = extract.Yes
	case "bridge":
		r.Bridge = true
	case "tunnel":
		r.Tunnel = true
	case "lit":
		r.Lit = extract.Yes
	case "loose":
		r.Surface = extract.Loose
	case "bumps":
		r.Calming = "hump"
	case "link":
		r.Link = true
	case "roundabout":
		r.Roundabout = true
	case "nostopping-left":
		r.Parking[0].Restriction = "no_stopping"
	case "nostopping-right":
		r.Parking[1].Restriction = "no_stopping"
	default:
		return false, nil
	}
	return true, nil
}

func keyed(r *extract.Road, key, value string) error {
	number, notNumber := strconv.ParseFloat(value, 64)
	position, isPosition := parkings[value]
	fault := notNumber
	switch key {
	case "width":
		r.Width = extract.Width{Metres: geo.Metres(number), Source: extract.WidthTag}
	case "lanes":
		r.Lanes = int(number)
	case "incline":
		r.Incline = extract.Incline{Known: true, Percent: number, Up: number > 0, Down: number < 0}
	case "ref":
		r.Ref, fault = value, nil
	case "parking", "parking-left", "parking-right":
		fault = nil
		if !isPosition {
			fault = fmt.Errorf("%q is no position of parked cars", value)
		}
		if key != "parking-right" {
			r.Parking[0].Position = position
		}
		if key != "parking-left" {
			r.Parking[1].Position = position
		}
	default:
		fault = fmt.Errorf("%q is no key for a way", key)
	}
	return fault
}
