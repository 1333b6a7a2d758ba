package extract

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmxml"
)

// xmlReader reads one .osm, .osm.gz or .osm.bz2 in one pass. Which nodes are
// wanted is known only at the end, so it keeps the position of every node, in
// 16 bytes: such files are small areas.
type xmlReader struct {
	reap
	in      *unpacked
	name    string
	g       gather
	ids     []NodeID // of every node, in the order of the file
	at      [][2]int32
	tagged  sightings
	box     orb.Bound
	boxed   bool
	hull    hull
	last    [objectKindCount]struct{ id, version int64 }
	members []member
}

func readXML(ctx context.Context, s *source, opts Options, e *Extract) error {
	hash := sha256.New()
	r, err := newXMLReader(s, io.TeeReader(s.file, hash))
	if err != nil {
		return err
	}
	r.profile = opts.Profile
	progress := opts.progress(s.info.Size())
	if err := r.scan(ctx, progress, r.take); err != nil {
		return err
	}
	if _, err := io.Copy(io.Discard, r.in.packed); err != nil { // what follows the last element
		return err
	}
	hash.Sum(e.Source.SHA256[:0])
	r.g.report.add(r.g.problems)
	a := r.atlas()
	e.Source.Timestamp = r.g.newest
	e.Source.Bounds = r.box
	if !r.boxed {
		e.Source.Bounds = r.hull.bound()
	}
	finish(&r.g, a, opts.Profile, e)
	progress(s.info.Size())
	return nil
}

func newXMLReader(s *source, raw io.Reader) (*xmlReader, error) {
	in, err := newUnpacked(raw, s.form)
	if err != nil {
		return nil, &Fault{File: s.name, Err: err}
	}
	if err := in.checkRoot(); err != nil {
		return nil, &Fault{File: s.name, Err: err}
	}
	return &xmlReader{in: in, name: s.name}, nil
}

// scan hands every element to take, until take says that it is enough.
func (r *xmlReader) scan(ctx context.Context, progress func(int64), take func(osm.Object) (more bool, err error)) error {
	scanner := osmxml.New(ctx, r.in)
	defer scanner.Close()
	fail := func(err error) error { return &Fault{File: r.name, Offset: r.in.total, Err: err} }
	for n := 0; scanner.Scan(); n++ {
		r.in.since = 0
		if n%4096 == 0 {
			progress(r.in.packed.n)
		}
		more, err := take(scanner.Object())
		if err != nil {
			return fail(err)
		}
		if !more {
			return nil
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := scanner.Err(); err != nil {
		if errors.Is(err, io.ErrUnexpectedEOF) || err.Error() == "XML syntax error: unexpected EOF" {
			err = ErrTruncated
		}
		return fail(err)
	}
	return nil
}

func (r *xmlReader) take(o osm.Object) (bool, error) {
	switch o := o.(type) {
	case *osm.Bounds:
		if !r.boxed {
			r.box, r.boxed = boxOf(o.MinLon, o.MinLat, o.MaxLon, o.MaxLat)
		}
	case *osm.Node:
		return true, r.node(o)
	case *osm.Way:
		return true, r.way(o)
	case *osm.Relation:
		return true, r.relation(o)
	}
	return true, nil
}

// begin starts an object. An id that comes twice running with another version
// is the mark of a history file.
func (r *xmlReader) begin(kind ObjectKind, id int64, version int, problems *[]problem, tags osm.Tags) error {
	last := &r.last[kind]
	if last.id == id && last.version != int64(version) {
		return ErrHistory
	}
	last.id, last.version = id, int64(version)
	r.object.begin(kind, id, problems)
	for _, t := range tags {
		r.object.put(keyByName[t.Key], t.Value)
	}
	return nil
}

func (r *xmlReader) node(n *osm.Node) error {
	r.g.counts.Nodes++
	if n.Timestamp.After(r.g.newest) {
		r.g.newest = n.Timestamp.UTC()
	}
	if err := r.begin(ANode, int64(n.ID), n.Version, &r.tagged.problems, n.Tags); err != nil {
		return err
	}
	if n.Lat == 0 && n.Lon == 0 {
		return nil // no position is given
	}
	if !(math.Abs(n.Lat) <= 90 && math.Abs(n.Lon) <= 180) {
		return fmt.Errorf("node %d: %w", n.ID, errNoPlace)
	}
	lon, lat := int32(math.Round(n.Lon*1e7)), int32(math.Round(n.Lat*1e7))
	r.hull.extend(lon, lat)
	r.ids = append(r.ids, NodeID(n.ID))
	r.at = append(r.at, [2]int32{lon, lat})
	if len(r.object.set) > 0 {
		r.reap.node(lon, lat, true, &r.tagged)
	}
	return nil
}

func (r *xmlReader) way(w *osm.Way) error {
	r.g.counts.Ways++
	if w.Timestamp.After(r.g.newest) {
		r.g.newest = w.Timestamp.UTC()
	}
	if err := r.begin(AWay, int64(w.ID), w.Version, &r.g.problems, w.Tags); err != nil {
		return err
	}
	untagged := len(w.Tags) == 0
	if !untagged && !r.wayWanted() {
		return nil
	}
	nodes := make([]NodeID, len(w.Nodes))
	for i, n := range w.Nodes {
		nodes[i] = NodeID(n.ID)
	}
	if untagged {
		r.g.spare = append(r.g.spare, spare{WayID(w.ID), nodes})
		return nil
	}
	r.reap.way(nodes, &r.g.harvest)
	return nil
}

func (r *xmlReader) relation(rel *osm.Relation) error {
	r.g.counts.Relations++
	if rel.Timestamp.After(r.g.newest) {
		r.g.newest = rel.Timestamp.UTC()
	}
	if err := r.begin(ARelation, int64(rel.ID), rel.Version, &r.g.problems, rel.Tags); err != nil {
		return err
	}
	if !r.relationWanted() {
		return nil
	}
	r.members = r.members[:0]
	for _, m := range rel.Members {
		kind := ANode
		switch m.Type {
		case osm.TypeNode:
		case osm.TypeWay:
			kind = AWay
		case osm.TypeRelation:
			kind = ARelation
		default:
			return fmt.Errorf("relation %d: a member is of no known kind", rel.ID)
		}
		r.members = append(r.members, member{kind, m.Ref, m.Role})
	}
	r.reap.relation(r.members, &r.g.harvest)
	return nil
}

// atlas picks the wanted nodes out of all.
func (r *xmlReader) atlas() *atlas {
	a := newAtlas(&r.g)
	seek := seeker{ids: a.wanted}
	s := &r.tagged
	for i, id := range r.ids {
		if at, ok := seek.find(id); ok {
			s.places = append(s.places, sighting{uint32(at), r.at[i][0], r.at[i][1]})
		}
	}
	unwanted := func(id NodeID) bool { _, ok := slices.BinarySearch(a.wanted, id); return !ok }
	s.facts = slices.DeleteFunc(s.facts, func(n Node) bool { return unwanted(n.ID) })
	s.problems = slices.DeleteFunc(s.problems, func(p problem) bool { return unwanted(NodeID(p.id)) })
	a.add(s, &r.g.report)
	return a
}

// boundsXML gives the box that the file says it covers, else the hull of all
// nodes.
func boundsXML(ctx context.Context, s *source) (orb.Bound, bool, error) {
	r, err := newXMLReader(s, s.file)
	if err != nil {
		return orb.Bound{}, false, err
	}
	err = r.scan(ctx, func(int64) {}, func(o osm.Object) (bool, error) {
		switch o := o.(type) {
		case *osm.Bounds:
			r.box, r.boxed = boxOf(o.MinLon, o.MinLat, o.MaxLon, o.MaxLat)
		case *osm.Node:
			if math.Abs(o.Lat) <= 90 && math.Abs(o.Lon) <= 180 && (o.Lat != 0 || o.Lon != 0) {
				r.hull.extend(int32(math.Round(o.Lon*1e7)), int32(math.Round(o.Lat*1e7)))
			}
		}
		return !r.boxed, nil
	})
	if r.boxed {
		return r.box, true, err
	}
	return r.hull.bound(), r.hull.any, err
}
