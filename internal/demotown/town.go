package demotown

import (
	"hash/fnv"
	"math/rand/v2"

	"loopwright/internal/geo"
)

// town is everything that is known about the place, mapped or not.
type town struct {
	*network
	seed        uint64
	redraw      uint64 // of what no map shows; 0 is the town itself
	lots        []*lot
	features    []*feature
	blocks      []*block
	homes       []*home
	homesOn     map[*road][]*home
	blockCells  map[cell][]int // into blocks
	stretches   []*stretch
	stretchesOn map[*road][]*stretch
	control     []featureKind // by node: signals and mini-roundabouts
	bans        []*ban
	buses       []*busLine
	ways        map[*road][]wayPart // once drawn
	ids         []int64             // of the nodes on the map, by node; 0 where a node is not drawn
}

// stream is a source of randomness for one concern, so that a change to one
// does not move the others.
func (t *town) stream(concern string) *rand.Rand { return stream(t.seed, concern) }

func stream(seed uint64, concern string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(concern))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

func build(seed uint64) *town {
	t := &town{network: newNetwork(), seed: seed}
	t.drawCourses()
	grow(t.network, t.stream("streets"))
	t.splitDuals()
	t.buildRoundabouts()
	t.nameStreets()
	t.buildCarParks()
	t.buildLaybys()
	t.buildByways()
	t.setRules()
	t.setBans()
	t.placeFeatures()
	t.runBuses()
	t.buildHomes()
	t.setControls()
	t.findStretches()
	t.setEndings()
	t.setWidths()
	t.park()
	t.setFlows()
	t.setMarks()
	for _, s := range t.stretches {
		t.shape(s)
	}
	return t
}

// drawCourses lays the hand-drawn roads, sharing a node wherever two of them
// share a point.
func (t *town) drawCourses() {
	at := map[geo.XY]int{}
	for _, c := range courses {
		r := &road{name: c.name, class: c.class, spacing: c.spacing, bridge: c.bridge, oneWay: c.oneWay, dual: c.dual, tags: c.tags}
		fixed := map[geo.XY]bool{}
		for _, p := range c.points {
			fixed[p] = true
		}
		for _, p := range spline(c.points, 22) {
			id, ok := at[p]
			if !ok || !fixed[p] {
				id = t.addNode(p)
				at[p] = id
			}
			r.nodes = append(r.nodes, id)
		}
		mid := t.nodes[r.nodes[len(r.nodes)/2]].at
		r.district = districtAt(mid)
		t.addRoad(r)
	}
}
