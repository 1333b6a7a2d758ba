package extract

import (
	"errors"
	"fmt"
	"slices"

	"google.golang.org/protobuf/encoding/protowire"
)

// Fields of DenseNodes and DenseInfo.
const (
	denseID        = 1
	denseInfo      = 5
	denseLat       = 8
	denseLon       = 9
	denseKeysVals  = 10
	denseTimestamp = 2
)

// dense are the arrays of a DenseNodes.
type dense struct {
	ids, lats, lons, tags packed
	info                  []byte
}

func openDense(message []byte) (n dense, err error) {
	c := cursor{b: message}
	for {
		num, typ, ok := c.next()
		if !ok {
			break
		}
		switch num {
		case denseID:
			n.ids.add(&c, typ)
		case denseLat:
			n.lats.add(&c, typ)
		case denseLon:
			n.lons.add(&c, typ)
		case denseKeysVals:
			n.tags.add(&c, typ)
		case denseInfo:
			n.info = c.bytes(typ)
		default:
			c.skip(num, typ)
		}
	}
	if c.err != nil {
		return n, fmt.Errorf("dense nodes: %w", c.err)
	}
	return n, nil
}

// countDense counts the nodes of a run, and dates it where asked to.
func (d *decoder) countDense(message []byte, h *harvest) (int, error) {
	n, err := openDense(message)
	if err != nil {
		return 0, err
	}
	count := n.ids.count()
	if n.lats.count() != count || n.lons.count() != count {
		return 0, fmt.Errorf("dense nodes: %d ids, %d latitudes, %d longitudes", count, n.lats.count(), n.lons.count())
	}
	if !d.dated {
		return count, nil
	}
	c := cursor{b: n.info}
	for {
		num, typ, ok := c.next()
		if !ok {
			return count, c.err
		}
		if num != denseTimestamp {
			c.skip(num, typ)
			continue
		}
		var stamps packed
		stamps.add(&c, typ)
		at := int64(0)
		for s := stamps.stream(); s.more(); {
			delta, ok := s.signed()
			if !ok {
				return 0, fmt.Errorf("dense nodes: %w", errVarint)
			}
			at += delta
			d.stamp(at, h)
		}
	}
}

// sight decodes nodes: where the wanted ones are and what stands there.
func (d *decoder) sight(wanted []NodeID, hullToo bool) (*sightings, error) {
	s := &sightings{}
	seek := seeker{ids: wanted}
	err := d.each(func(num protowire.Number, message []byte) error {
		switch num {
		case groupNodes:
			return d.plainNode(message, &seek, hullToo, s)
		case groupDense:
			return d.denseNodes(message, &seek, hullToo, s)
		}
		return nil
	})
	return s, err
}

func (d *decoder) plainNode(message []byte, seek *seeker, hullToo bool, s *sightings) error {
	p, err := d.parts(groupNodes, message)
	if err != nil {
		return fmt.Errorf("node: %w", err)
	}
	fail := func(err error) error { return fmt.Errorf("node %d: %w", p.id, err) }
	lon, lat, err := d.position(p.lon, p.lat)
	if err != nil {
		return fail(err)
	}
	if hullToo {
		s.hull.extend(lon, lat)
	}
	i, wanted := seek.find(NodeID(p.id))
	if wanted {
		s.places = append(s.places, sighting{uint32(i), lon, lat})
	}
	if err := d.tags(ANode, &p, &s.problems); err != nil {
		return fail(err)
	}
	if len(d.object.set) > 0 {
		d.reap.node(lon, lat, wanted, s)
	}
	return nil
}

func (d *decoder) denseNodes(message []byte, seek *seeker, hullToo bool, s *sightings) error {
	n, err := openDense(message)
	if err != nil {
		return err
	}
	ids, lats, lons, tags := n.ids.stream(), n.lats.stream(), n.lons.stream(), n.tags.stream()
	tagged := tags.more()
	s.places = slices.Grow(s.places, min(n.ids.count(), len(seek.ids)))
	var id, lat, lon int64
	for ids.more() {
		did, ok1 := ids.signed()
		dlat, ok2 := lats.signed()
		dlon, ok3 := lons.signed()
		if !ok1 || !ok2 || !ok3 {
			return fmt.Errorf("dense nodes: %w", errShortArrays)
		}
		id, lat, lon = id+did, lat+dlat, lon+dlon
		i, wanted := seek.find(NodeID(id))
		bare := true
		if tagged {
			// A node with no tags is one 0.
			if tags.more() && tags.b[tags.i] == 0 {
				tags.i++
			} else {
				bare = false
				d.object.begin(ANode, id, &s.problems)
				if err := d.denseTags(&tags); err != nil {
					return fmt.Errorf("dense nodes: node %d: %w", id, err)
				}
			}
		}
		bare = bare || len(d.object.set) == 0
		if !wanted && bare && !hullToo {
			continue
		}
		lonE7, latE7, err := d.position(lon, lat)
		if err != nil {
			return fmt.Errorf("dense nodes: node %d: %w", id, err)
		}
		if hullToo {
			s.hull.extend(lonE7, latE7)
		}
		if wanted {
			s.places = append(s.places, sighting{uint32(i), lonE7, latE7})
		}
		if !bare {
			d.reap.node(lonE7, latE7, wanted, s)
		}
	}
	if lats.more() || lons.more() {
		return fmt.Errorf("dense nodes: %w", errShortArrays)
	}
	if tags.more() {
		return errors.New("dense nodes: there are tags left over")
	}
	return nil
}

// denseTags reads key, value, key, value ... 0 of one node.
func (d *decoder) denseTags(tags *numbers) error {
	for {
		k, ok := tags.next()
		if !ok {
			return errors.New("the tags end early")
		}
		if k == 0 {
			return nil
		}
		v, ok := tags.next()
		if !ok {
			return errors.New("a key has no value")
		}
		if err := d.putTag(k, v); err != nil {
			return err
		}
	}
}
