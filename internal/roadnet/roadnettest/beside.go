package roadnettest

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
)

// site reads "school 50,50 Mill School" and "car-park 0,10 40,50": a node, or
// the box between two corners.
func (d *drawing) site(words []string) error {
	if len(words) == 0 {
		return fmt.Errorf("a site is drawn as: site school 50,50 90,80 Mill School")
	}
	kind, ok := kindOf[extract.SiteKind](words[0], extract.SiteKinds)
	if !ok {
		return fmt.Errorf("%q is no kind of site", words[0])
	}
	corners, rest, err := d.corners(words[1:])
	if err != nil {
		return err
	}
	site := extract.Site{Kind: kind, Name: strings.Join(rest, " "), Object: extract.ObjectID{Kind: extract.ANode, ID: d.nextObject()}, Shape: corners}
	if len(corners) == 2 {
		site.Object.Kind, site.Shape = extract.AWay, box(corners[0], corners[1])
	}
	d.x.Sites = append(d.x.Sites, site)
	return nil
}

// building reads "house 10,10 18,20": the box between two corners.
func (d *drawing) building(words []string) error {
	if len(words) != 3 {
		return fmt.Errorf("a building is drawn as: building house 10,10 18,20")
	}
	kind, ok := kindOf[extract.BuildingKind](words[0], extract.BuildingKinds)
	if !ok {
		return fmt.Errorf("%q is no kind of building", words[0])
	}
	corners, _, err := d.corners(words[1:])
	if err != nil {
		return err
	}
	d.x.Buildings = append(d.x.Buildings, extract.Building{
		Object: extract.ObjectID{Kind: extract.AWay, ID: d.nextObject()}, Kind: kind, Shape: box(corners[0], corners[1]),
	})
	return nil
}

// wall reads "hedge 0,4 50,4 50,30": a line.
func (d *drawing) wall(words []string) error {
	if len(words) < 3 {
		return fmt.Errorf("a wall is drawn as: wall hedge 0,4 50,4")
	}
	kind, ok := kindOf[extract.WallKind](words[0], extract.WallKinds)
	if !ok {
		return fmt.Errorf("%q is no kind of wall", words[0])
	}
	corners, _, err := d.corners(words[1:])
	if err != nil {
		return err
	}
	d.x.Walls = append(d.x.Walls, extract.Wall{Object: extract.ObjectID{Kind: extract.AWay, ID: d.nextObject()}, Kind: kind, Shape: corners})
	return nil
}

// gate reads "50,50".
func (d *drawing) gate(words []string) error {
	corners, rest, err := d.corners(words)
	if err != nil || len(corners) != 1 || len(rest) > 0 {
		return fmt.Errorf("a gate is drawn as: gate 50,50")
	}
	d.x.Gates = append(d.x.Gates, extract.Gate{At: corners[0]})
	return nil
}

// corners reads the positions that some words begin with.
func (d *drawing) corners(words []string) (at extract.Shape, rest []string, err error) {
	for len(words) > 0 && strings.Contains(words[0], ",") {
		var p orb.Point
		if p, err = d.position(words[0]); err != nil {
			return nil, nil, err
		}
		at = append(at, extract.E7{Lon: int32(math.Round(p.Lon() * 1e7)), Lat: int32(math.Round(p.Lat() * 1e7))})
		words = words[1:]
	}
	if len(at) == 0 {
		return nil, nil, fmt.Errorf("a position is missing")
	}
	return at, words, nil
}

func (d *drawing) nextObject() int64 {
	return int64(1000 + len(d.x.Sites) + len(d.x.Buildings) + len(d.x.Walls))
}

func box(a, b extract.E7) extract.Shape {
	return extract.Shape{a, {Lon: b.Lon, Lat: a.Lat}, b, {Lon: a.Lon, Lat: b.Lat}, a}
}

// kindOf finds the kind of a word, written with hyphens for spaces.
func kindOf[K interface {
	~uint8
	fmt.Stringer
}](word string, kinds K) (K, bool) {
	for k := range kinds {
		if strings.ReplaceAll(k.String(), " ", "-") == word {
			return k, true
		}
	}
	return 0, false
}
