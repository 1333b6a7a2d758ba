// Package laying lays the network out of an extract's typed facts.
//
// In goes an extract.Extract, out come roadnet's columns. The steps, each a
// file:
//
//  1. links: every road as a run of links between neighbouring nodes; which
//     links are of the network, and which links meet at each node
//  2. stubs: dead ends too short and too plain to be roads leave the network
//  3. breaks: the nodes where stretches end
//  4. stretches: the links between breaks, joined across ways, with their
//     pieces and the things along them
//  5. mouths: what opens onto a stretch without splitting it
//  6. dual: which one-way roads are halves of a dual carriageway, found beside
//     step 4
//  7. restrictions, automaton, turns: every movement that is legal, exactly
//  8. zones, core, rim, junctions: what follows from the whole
//  9. beside: what stands beside the roads, and on which side of which
//
// The links of the network are those of roads that a learner's car may use,
// through or to call there, in at least one direction, except service roads,
// tracks and areas. Everything is done in the order of the extract, which is
// by number, so that the columns do not depend on the number of workers.
package laying

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// Lay gives the columns of the network of an extract, without the parts of
// About that the extract does not know. Workers below 1 means one per
// processor; their number changes nothing in the result.
func Lay(ctx context.Context, x *extract.Extract, workers int) (roadnet.Columns, error) {
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	s := &site{x: x, workers: workers, topE7: farthest(x.Nodes), names: newNames()}
	s.c.About = roadnet.About{
		Extract: x.Source.Name, SHA256: x.Source.SHA256, Size: x.Source.Size,
		Timestamp: x.Source.Timestamp, Bounds: x.Source.Bounds, Report: x.Report,
	}
	steps := []func() error{
		s.takeLinks,
		plain(s.dropStubs), plain(s.findBreaks),
		atOnce(s.joinStretches, plain(s.findHalves)),
		atOnce(plain(s.placeMouths), plain(s.markDual), plain(s.c.Derive), plain(s.measureHeadings)),
		atOnce(
			plain(s.layTurns, s.findCore, s.markRim),
			plain(s.findZones, s.findJunctions),
			plain(s.takePlaces, s.takeBeside, s.storeNames),
		),
	}
	for _, step := range steps {
		if err := ctx.Err(); err != nil {
			return roadnet.Columns{}, err
		}
		if err := step(); err != nil {
			return roadnet.Columns{}, fmt.Errorf("lay the network of %s: %w", x.Source.Name, err)
		}
	}
	return s.c, nil
}

// plain takes steps that can't fail one after the other.
func plain(steps ...func()) func() error {
	return func() error {
		for _, step := range steps {
			step()
		}
		return nil
	}
}

// atOnce takes steps side by side that fill different columns.
func atOnce(steps ...func() error) func() error {
	return func() error {
		var group sync.WaitGroup
		errs := make([]error, len(steps))
		for i, step := range steps {
			group.Go(func() { errs[i] = step() })
		}
		group.Wait()
		return errors.Join(errs...)
	}
}

// site is the network while it is being laid.
type site struct {
	x       *extract.Extract
	workers int
	topE7   int32 // the latitude farthest from the equator
	c       roadnet.Columns
	names   *names

	links // step 1

	isBreak    []bool // by node: stretches end there
	isFeatured []bool // by node: something stands there

	netNode     []roadnet.NodeID    // by node: its number in the network, None if it has none
	nodeOf      []uint32            // by roadnet.NodeID: the node
	linkSegment []roadnet.SegmentID // by link: the segment that runs along the link's own direction; None off the network
	seat        []seat              // by node: where on a stretch it lies

	dual []bool // by road: half of a dual carriageway

	facts []roadFacts                   // by road
	rows  map[roadnet.Attributes]uint32 // rows of attributes by what they say

	vertexAlongMm []uint32  // by vertex
	pieceRoad     []uint32  // by PieceID: index into the extract's roads
	leave         []float64 // by segment: heading at which it leaves its tail, rad

	pairBans map[uint64]bool // from segment << 32 | to segment
	banned   []bool          // by segment: begins a barred pair
	longBans [][]roadnet.SegmentID
}

// seat is a node's place on a stretch: the vertex, or None.
type seat struct {
	stretch roadnet.StretchID
	vertex  uint32 // in VertexLonE7
}

func (s *site) point(node uint32) orb.Point {
	n := &s.x.Nodes[node]
	return orb.Point{float64(n.LonE7) / 1e7, float64(n.LatE7) / 1e7}
}

// parallel runs work over [0, n) in one chunk per worker. Work on different
// indexes must not share what it writes.
func parallel(workers, n int, work func(lo, hi int)) {
	var group sync.WaitGroup
	chunk := (n + workers - 1) / workers
	for lo := 0; lo < n; lo += chunk {
		group.Go(func() { work(lo, min(lo+chunk, n)) })
	}
	group.Wait()
}
