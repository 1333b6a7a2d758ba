package extract

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"google.golang.org/protobuf/encoding/protowire"
)

// decoder turns unpacked blocks into harvests and sightings. One per worker.
type decoder struct {
	reap
	inflater
	block
	again   []byte // to read a Blob into once more
	refs    []NodeID
	members []member
	dated   bool // look for the newest object
}

// Fields of Way, Relation and Info.
const (
	objectID       = 1
	objectKeys     = 2
	objectVals     = 3
	objectInfo     = 4
	wayRefs        = 8
	relationRoles  = 8
	relationIDs    = 9
	relationTypes  = 10
	infoTimestamp  = 2
	plainNodeLat   = 8
	plainNodeLon   = 9
	denseID        = 1
	denseInfo      = 5
	denseLat       = 8
	denseLon       = 9
	denseKeysVals  = 10
	denseTimestamp = 2
)

// parts are the fields of a Node, Way or Relation that are asked for: views.
type parts struct {
	id         int64
	hasID      bool
	keys, vals packed
	lists      [3]packed // refs; or roles, ids, types
	lat, lon   int64
	info       []byte
}

func (d *decoder) parts(num protowire.Number, message []byte) (p parts, err error) {
	c := cursor{b: message}
	for {
		field, typ, ok := c.next()
		if !ok {
			break
		}
		switch {
		case field == objectID:
			v := c.number(typ)
			if num == groupNodes {
				p.id = protowire.DecodeZigZag(v)
			} else {
				p.id = int64(v)
			}
			p.hasID = true
		case field == objectKeys:
			p.keys.add(&c, typ)
		case field == objectVals:
			p.vals.add(&c, typ)
		case field == objectInfo && d.dated:
			p.info = c.bytes(typ)
		case num == groupNodes && field == plainNodeLat:
			p.lat = protowire.DecodeZigZag(c.number(typ))
		case num == groupNodes && field == plainNodeLon:
			p.lon = protowire.DecodeZigZag(c.number(typ))
		case num == groupWays && field == wayRefs:
			p.lists[0].add(&c, typ)
		case num == groupRelations && field >= relationRoles && field <= relationTypes:
			p.lists[field-relationRoles].add(&c, typ)
		default:
			c.skip(field, typ)
		}
	}
	if c.err == nil && !p.hasID {
		c.err = errors.New("it has no id")
	}
	return p, c.err
}

var errShortArrays = errors.New("arrays that run side by side differ in length")

// tags puts the tags into d.object.
func (d *decoder) tags(kind objectKind, p *parts, problems *[]problem) error {
	d.object.begin(kind, p.id, problems)
	keys, vals := p.keys.stream(), p.vals.stream()
	for keys.more() {
		k, okK := keys.next()
		v, okV := vals.next()
		if !okK || !okV {
			return errShortArrays
		}
		if err := d.putTag(k, v); err != nil {
			return err
		}
	}
	if vals.more() {
		return errShortArrays
	}
	return nil
}

func (d *decoder) putTag(k, v uint64) error {
	known, err := d.key(k)
	if err != nil {
		return err
	}
	if known == keyOther {
		if v >= uint64(len(d.strings)) {
			return errStringIndex
		}
		return nil
	}
	value, err := d.text(v)
	if err != nil {
		return err
	}
	d.object.put(known, value)
	return nil
}

// unpack unpacks a Blob and opens the block in it.
func (d *decoder) unpack(blob []byte) error {
	raw, err := d.inflate(blob)
	if err != nil {
		return err
	}
	return d.open(raw)
}

// unpackAgain reads a block's Blob from the file once more and unpacks it.
func (d *decoder) unpackAgain(file io.ReaderAt, n *nodeBlock) error {
	if cap(d.again) < n.length {
		d.again = make([]byte, n.length)
	}
	blob := d.again[:n.length]
	if _, err := file.ReadAt(blob, n.blob); err != nil {
		if err == io.EOF {
			return ErrTruncated
		}
		return err
	}
	return d.unpack(blob)
}

// harvest decodes ways and relations, and counts nodes.
func (d *decoder) harvest() (*harvest, error) {
	h := &harvest{}
	err := d.each(func(num protowire.Number, message []byte) error {
		switch num {
		case groupNodes:
			h.counts.Nodes++
			if d.dated {
				p, err := d.parts(num, message)
				if err != nil {
					return fmt.Errorf("node: %w", err)
				}
				return d.date(p.info, h)
			}
		case groupDense:
			n, err := d.countDense(message, h)
			h.counts.Nodes += int64(n)
			return err
		case groupWays:
			h.counts.Ways++
			return d.way(message, h)
		case groupRelations:
			h.counts.Relations++
			return d.relation(message, h)
		}
		return nil
	})
	return h, err
}

// date keeps the newest timestamp of an Info.
func (d *decoder) date(info []byte, h *harvest) error {
	c := cursor{b: info}
	for {
		num, typ, ok := c.next()
		if !ok {
			return c.err
		}
		if num == infoTimestamp {
			d.stamp(int64(c.number(typ)), h)
		} else {
			c.skip(num, typ)
		}
	}
}

// stamp takes a timestamp in the block's own units; nonsense is passed over.
func (d *decoder) stamp(t int64, h *harvest) {
	if t <= 0 || t > math.MaxInt64/d.dateGranularity {
		return
	}
	ms := t * d.dateGranularity
	if ms > maxTimestamp {
		return
	}
	if at := time.UnixMilli(ms).UTC(); at.After(h.newest) {
		h.newest = at
	}
}

// maxTimestamp is the end of the year 9999, past which RFC 3339 can't write.
const maxTimestamp = 253402300799999

func (d *decoder) way(message []byte, h *harvest) error {
	p, err := d.parts(groupWays, message)
	if err != nil {
		return fmt.Errorf("way: %w", err)
	}
	fail := func(err error) error { return fmt.Errorf("way %d: %w", p.id, err) }
	if d.dated {
		if err := d.date(p.info, h); err != nil {
			return fail(err)
		}
	}
	wanted := false
	for keys := p.keys.stream(); keys.more(); {
		i, ok := keys.next()
		if !ok {
			return fail(errVarint)
		}
		k, err := d.key(i)
		if err != nil {
			return fail(err)
		}
		wanted = wanted || k == keyHighway || isPlaceKey(k)
	}
	if !wanted {
		return nil
	}
	if err := d.tags(aWay, &p, &h.problems); err != nil {
		return fail(err)
	}
	if !d.wayWanted() {
		return nil
	}
	d.refs = d.refs[:0]
	id := int64(0)
	for refs := p.lists[0].stream(); refs.more(); {
		delta, ok := refs.signed()
		if !ok {
			return fail(errVarint)
		}
		id += delta
		d.refs = append(d.refs, NodeID(id))
	}
	d.reap.way(append(make([]NodeID, 0, len(d.refs)), d.refs...), h)
	return nil
}

func (d *decoder) relation(message []byte, h *harvest) error {
	p, err := d.parts(groupRelations, message)
	if err != nil {
		return fmt.Errorf("relation: %w", err)
	}
	fail := func(err error) error { return fmt.Errorf("relation %d: %w", p.id, err) }
	if d.dated {
		if err := d.date(p.info, h); err != nil {
			return fail(err)
		}
	}
	if err := d.tags(aRelation, &p, &h.problems); err != nil {
		return fail(err)
	}
	if !d.relationWanted() {
		return nil
	}
	roles, ids, types := p.lists[0].stream(), p.lists[1].stream(), p.lists[2].stream()
	d.members = d.members[:0]
	id := int64(0)
	for ids.more() {
		delta, okID := ids.signed()
		role, okRole := roles.next()
		kind, okKind := types.next()
		if !okID || !okRole || !okKind {
			return fail(errShortArrays)
		}
		if kind >= uint64(objectKindCount) {
			return fail(errors.New("a member is of no known kind"))
		}
		text, err := d.text(role)
		if err != nil {
			return fail(err)
		}
		id += delta
		d.members = append(d.members, member{objectKind(kind), id, text})
	}
	if roles.more() || types.more() {
		return fail(errShortArrays)
	}
	d.reap.relation(d.members, h)
	return nil
}

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
	if err := d.tags(aNode, &p, &s.problems); err != nil {
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
				d.object.begin(aNode, id, &s.problems)
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
