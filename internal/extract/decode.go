package extract

import (
	"errors"
	"fmt"
	"io"
	"math"
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

// Fields of Node, Way, Relation and Info.
const (
	objectID      = 1
	objectKeys    = 2
	objectVals    = 3
	objectInfo    = 4
	wayRefs       = 8
	relationRoles = 8
	relationIDs   = 9
	relationTypes = 10
	infoTimestamp = 2
	plainNodeLat  = 8
	plainNodeLon  = 9
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
func (d *decoder) tags(kind ObjectKind, p *parts, problems *[]problem) error {
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
	wanted, untagged := false, true
	for keys := p.keys.stream(); keys.more(); {
		untagged = false
		i, ok := keys.next()
		if !ok {
			return fail(errVarint)
		}
		k, err := d.key(i)
		if err != nil {
			return fail(err)
		}
		wanted = wanted || isPlaceKey(k) || mayBeBeside(k)
	}
	if !wanted && !untagged {
		return nil
	}
	if err := d.tags(AWay, &p, &h.problems); err != nil {
		return fail(err)
	}
	if !untagged && !d.wayWanted() {
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
	nodes := append(make([]NodeID, 0, len(d.refs)), d.refs...)
	if untagged {
		h.spare = append(h.spare, spare{WayID(p.id), nodes})
		return nil
	}
	d.reap.way(nodes, h)
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
	if err := d.tags(ARelation, &p, &h.problems); err != nil {
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
		d.members = append(d.members, member{ObjectKind(kind), id, text})
	}
	if roles.more() || types.more() {
		return fail(errShortArrays)
	}
	d.reap.relation(d.members, h)
	return nil
}
