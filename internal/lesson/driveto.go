package lesson

import (
	"math"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

// ways remembers the quickest ways that were driven: finalists differ by a road
// to judge or two, and share most of the drive.
type ways map[wayKey]wayFound

// wayKey is what a way hangs on.
type wayKey struct {
	finder *route.Finder
	at, to roadnet.Position
	state  roadnet.StateID // of the drive before; None without one
	ms     uint32
}

type wayFound struct {
	path route.Path
	ok   bool
}

// driveTo is the quickest way to a position, reckoned to take some milliseconds;
// byKerb, the quickest that passes a kerb to stand at, in two paths.
func (pl *planner) driveTo(at roadnet.Position, after *route.Path, to roadnet.Position, ms uint32, byKerb bool) ([]route.Path, bool) {
	if byKerb {
		return pl.driveByKerb(at, after, to)
	}
	key := wayKey{pl.forward, at, to, roadnet.StateID(roadnet.None), ms}
	if after != nil {
		key.state = after.States[len(after.States)-1]
	}
	way, known := pl.ways[key]
	if !known {
		// What a restriction remembers of the way here may cost a detour.
		const detour geo.Seconds = 120
		way.path, way.ok = pl.forward.Path(at, to, geo.Seconds(ms)/1000+detour, pl.coming(after))
		pl.ways[key] = way
	}
	return []route.Path{way.path}, way.ok
}

// driveByKerb looks near first: what lies beyond a bound costs more than the bound.
func (pl *planner) driveByKerb(at roadnet.Position, after *route.Path, to roadnet.Position) ([]route.Path, bool) {
	reach := geo.Seconds(pl.table.Search.ReachS)
	for bound := reach / 4; ; bound = min(2*bound, reach) {
		tree := pl.forward.From(at, bound, pl.coming(after))
		by, cost, found := pl.bestKerb(tree, pl.backward.Into(to, bound, pl.turning()))
		switch {
		case bound < reach && !(cost < float64(bound)-1):
			continue
		case !found:
			return nil, false
		}
		first, _ := tree.Path(by)
		second, ok := pl.forward.Path(by, to, reach, pl.coming(&first))
		return []route.Path{first, second}, ok
	}
}

// bestKerb is the kerb to stand at by which one comes soonest, a better kerb being
// worth some seconds; its cost in seconds, infinite where there is none.
func (pl *planner) bestKerb(tree, in *route.Tree) (best roadnet.Position, cost float64, found bool) {
	cost = math.Inf(1)
	for _, k := range pl.standings() {
		there, ok := tree.Ms(k)
		if !ok || there < moveOffS*1000 {
			continue
		}
		on, ok := in.Ms(k)
		if !ok || on < (beforeSeenS+5)*1000 {
			continue
		}
		if v := float64(there+on)/1000 + 60*(1-pl.kerbs.quality(k)); v < cost {
			best, found, cost = k, true, v
		}
	}
	return best, cost, found
}

// standings are the kerbs to stand at within reach, one for each gap.
func (pl *planner) standings() []roadnet.Position {
	if pl.stands == nil {
		for _, r := range pl.reached {
			for _, k := range pl.kerbs.at(r.segment) {
				pl.stands = append(pl.stands, roadnet.Position{Segment: r.segment, Along: k.from + min((k.to-k.from)/2, pullInBy)})
			}
		}
	}
	return pl.stands
}
