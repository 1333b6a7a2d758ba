// Package witness walks the drive of a circuit file against the raw tags and
// relations of its extract, and says where a learner's car would break a rule.
//
// It is the tests' view from outside: it shares no code with the packages that
// read extracts, build networks, search routes or plan lessons. It reads the
// XML that osmium-tool writes through osmxml, and the circuit file with a
// reader of its own. Where the meaning of a tag is disputed it takes the
// reading that every driver would, so that a fault it names is a fault.
package witness

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmxml"
)

// Witness holds the raw objects of one extract that concern driving.
type Witness struct {
	nodes        map[osm.NodeID]*osm.Node // nodes of highways
	ways         map[osm.WayID]*osm.Way   // highways
	restrictions []restriction
	byFrom       map[osm.WayID][]int   // index of restrictions by from way
	at           map[osm.NodeID][]edge // of drivable highways; made when first asked for
}

type restriction struct {
	id      osm.RelationID
	only    bool
	from    []osm.WayID
	viaNode osm.NodeID
	via     []osm.WayID
	to      []osm.WayID
}

// Open reads an extract of any kind that osmium-tool knows. It needs
// osmium-tool on the path.
func Open(path string) (*Witness, error) {
	dir, err := os.MkdirTemp("", "witness")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	raw := filepath.Join(dir, "roads.osm")
	filter := exec.Command("osmium", "tags-filter", "--overwrite", "-o", raw, path,
		"w/highway", "r/type=restriction", "r/type=restriction:motorcar")
	if out, err := filter.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("osmium tags-filter %s: %w: %s", path, err, out)
	}
	f, err := os.Open(raw)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return Read(f)
}

// Read takes OpenStreetMap XML.
func Read(r io.Reader) (*Witness, error) {
	w := &Witness{nodes: map[osm.NodeID]*osm.Node{}, ways: map[osm.WayID]*osm.Way{}, byFrom: map[osm.WayID][]int{}}
	s := osmxml.New(context.Background(), r)
	defer s.Close()
	for s.Scan() {
		switch o := s.Object().(type) {
		case *osm.Node:
			w.nodes[o.ID] = o
		case *osm.Way:
			if o.Tags.Find("highway") != "" {
				w.ways[o.ID] = o
			}
		case *osm.Relation:
			w.restrict(o)
		}
	}
	for i, r := range w.restrictions {
		for _, f := range r.from {
			w.byFrom[f] = append(w.byFrom[f], i)
		}
	}
	return w, s.Err()
}

// restrict keeps a relation that binds a motor car; a conditional one is taken
// as holding.
func (w *Witness) restrict(o *osm.Relation) {
	if t := o.Tags.Find("type"); t != "restriction" && t != "restriction:motorcar" {
		return
	}
	for _, mode := range strings.Split(o.Tags.Find("except"), ";") {
		if mode = strings.TrimSpace(mode); mode == "motorcar" || mode == "motor_vehicle" {
			return
		}
	}
	kind := ""
	for _, k := range []string{"restriction", "restriction:motor_vehicle", "restriction:motorcar", "restriction:conditional"} {
		if v := o.Tags.Find(k); v != "" {
			kind = v
		}
	}
	kind = strings.TrimSpace(strings.SplitN(kind, "@", 2)[0])
	if !strings.HasPrefix(kind, "no_") && !strings.HasPrefix(kind, "only_") {
		return
	}
	r := restriction{id: o.ID, only: strings.HasPrefix(kind, "only_")}
	for _, m := range o.Members {
		switch {
		case m.Role == "from" && m.Type == osm.TypeWay:
			r.from = append(r.from, osm.WayID(m.Ref))
		case m.Role == "to" && m.Type == osm.TypeWay:
			r.to = append(r.to, osm.WayID(m.Ref))
		case m.Role == "via" && m.Type == osm.TypeNode:
			r.viaNode = osm.NodeID(m.Ref)
		case m.Role == "via" && m.Type == osm.TypeWay:
			r.via = append(r.via, osm.WayID(m.Ref))
		}
	}
	if len(r.from) > 0 && len(r.to) > 0 && (r.viaNode != 0 || len(r.via) > 0) {
		w.restrictions = append(w.restrictions, r)
	}
}

// access is the value of the most specific access tag for a motor car, in one
// direction of the way ("forward" or "backward").
func access(tags osm.Tags, direction string) string {
	value := ""
	for _, k := range []string{"access", "vehicle", "motor_vehicle", "motorcar"} {
		for _, key := range []string{k, k + ":" + direction} {
			if v := tags.Find(key); v != "" {
				value = v
			}
		}
	}
	return value
}

// shut says why a learner may not drive a way in a direction, or "".
func shut(way *osm.Way, forward bool) string {
	direction := "backward"
	if forward {
		direction = "forward"
	}
	switch h := way.Tags.Find("highway"); h {
	case "motorway", "motorway_link", "trunk", "trunk_link", "primary", "primary_link", "secondary", "secondary_link",
		"tertiary", "tertiary_link", "unclassified", "residential", "living_street", "road", "service":
	default:
		return "highway=" + h
	}
	switch v := access(way.Tags, direction); v {
	case "no", "private", "agricultural", "forestry", "delivery", "military", "emergency", "psv", "bus", "customers", "permit", "residents":
		return "access is " + v
	}
	if way.Tags.Find("impassable") == "yes" {
		return "impassable"
	}
	oneway := way.Tags.Find("oneway")
	if v := way.Tags.Find("oneway:motorcar"); v != "" {
		oneway = v
	}
	if v := way.Tags.Find("oneway:motor_vehicle"); v != "" {
		oneway = v
	}
	if oneway == "" {
		j, h := way.Tags.Find("junction"), way.Tags.Find("highway")
		if j == "roundabout" || j == "circular" || h == "motorway" {
			oneway = "yes"
		}
	}
	switch oneway {
	case "yes", "true", "1":
		if !forward {
			return "against oneway=" + oneway
		}
	case "-1", "reverse":
		if forward {
			return "against oneway=" + oneway
		}
	case "reversible", "alternating":
		return "oneway=" + oneway
	}
	return ""
}

// callers says that only those who live or call there may drive a way.
func callers(way *osm.Way, forward bool) bool {
	direction := "backward"
	if forward {
		direction = "forward"
	}
	return access(way.Tags, direction) == "destination"
}

// blocked says why a car can't pass a node, or "".
func blocked(n *osm.Node) string {
	b := n.Tags.Find("barrier")
	v := access(n.Tags, "forward")
	switch v {
	case "yes", "permissive", "designated", "destination":
		return ""
	case "no", "private":
		if b != "" {
			return "barrier=" + b + " with access " + v
		}
	}
	switch b {
	case "bollard", "block", "jersey_barrier", "cycle_barrier", "motorcycle_barrier", "log", "debris", "planter", "stile", "kissing_gate", "bus_trap":
		return "barrier=" + b
	}
	return ""
}

// e7 is a coordinate as the extract holds it.
func e7(degrees float64) int64 { return int64(math.Round(degrees * 1e7)) }
