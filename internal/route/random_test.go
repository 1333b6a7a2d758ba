package route_test

import (
	"flag"
	"math/rand/v2"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/route"
)

var seedFlag = flag.Uint64("seed", 1, "first seed of the random networks")

// plan is a random network before its columns are laid: what the tests change
// and what the oracle reads.
type plan struct {
	kind     roadnet.JunctionKind // of all junctions; unset: of all kinds
	country  string
	lon, lat []int32
	stretch  []plannedStretch
	arms     [][]roadnet.SegmentID // by node: segments that leave it
	banned   map[[2]roadnet.SegmentID]bool
	viaBan   [][3]roadnet.SegmentID // from the first over the second into the third
}

type plannedStretch struct {
	tail, head roadnet.NodeID
	lengthMm   uint32
	attributes roadnet.Attributes
	use        [2]extract.Use
	zone       uint32
	things     []roadnet.Thing
}

// randomPlan draws a tangled network: crossings, one-ways, loops, double
// links, dead ends, zones, private roads, bans over nodes and over ways.
func randomPlan(r *rand.Rand, nodes int) *plan {
	p := &plan{banned: make(map[[2]roadnet.SegmentID]bool)}
	for range nodes {
		p.lon = append(p.lon, 10_000_000+r.Int32N(200_000))
		p.lat = append(p.lat, 520_000_000+r.Int32N(150_000))
	}
	classes := []extract.Class{extract.Trunk, extract.Secondary, extract.Tertiary, extract.Unclassified, extract.Residential, extract.LivingStreet}
	link := func(a, b int) {
		at := func(i int) [2]float64 { return [2]float64{float64(p.lon[i]) / 1e7, float64(p.lat[i]) / 1e7} }
		s := plannedStretch{
			tail: roadnet.NodeID(a), head: roadnet.NodeID(b),
			lengthMm: uint32(1000*geo.Distance(at(a), at(b))) + 1 + uint32(r.IntN(50_000)),
			use:      [2]extract.Use{extract.Through, extract.Through},
		}
		s.attributes.Class = classes[r.IntN(len(classes))]
		limit := []uint16{0, 322, 483, 966}[r.IntN(4)]
		s.attributes.LimitLowDkmh = [2]uint16{limit, limit}
		switch r.IntN(10) {
		case 0:
			s.use[r.IntN(2)] = extract.Barred
		case 1:
			s.use = [2]extract.Use{extract.Private, extract.Private}
		case 2, 3:
			s.use = [2]extract.Use{extract.Destination, extract.Destination}
			s.zone = 1 + uint32(r.IntN(3))
		}
		for along := uint32(r.IntN(200_000)); along < s.lengthMm; along += 1 + uint32(r.IntN(200_000)) {
			kinds := []extract.Feature{extract.Calming, extract.CrossingZebra, extract.GiveWay, extract.Stop, extract.LevelCrossing, extract.BusStop}
			s.things = append(s.things, roadnet.Thing{Along: geo.Metres(along), Features: kinds[r.IntN(len(kinds))], Direction: int8(r.IntN(3) - 1)})
		}
		p.stretch = append(p.stretch, s)
	}
	for i := 1; i < nodes; i++ {
		link(i, r.IntN(i))
	}
	for range nodes {
		link(r.IntN(nodes), r.IntN(nodes))
	}
	p.arms = make([][]roadnet.SegmentID, nodes)
	for s := range p.stretch {
		f := roadnet.StretchID(s).Segment(true)
		p.arms[p.stretch[s].tail] = append(p.arms[p.stretch[s].tail], f)
		p.arms[p.stretch[s].head] = append(p.arms[p.stretch[s].head], f.Opposite())
	}
	for range nodes / 3 {
		a := p.anySegment(r)
		if b, ok := p.anyAfter(r, a); ok {
			p.banned[[2]roadnet.SegmentID{a, b}] = true
		}
	}
	used := make(map[roadnet.SegmentID]bool) // one restriction over ways a segment
	for range nodes / 3 {
		a := p.anySegment(r)
		b, ok := p.anyAfter(r, a)
		if !ok || used[b] {
			continue
		}
		if c, ok := p.anyAfter(r, b); ok {
			used[b] = true
			p.viaBan = append(p.viaBan, [3]roadnet.SegmentID{a, b, c})
		}
	}
	return p
}

func (p *plan) anySegment(r *rand.Rand) roadnet.SegmentID {
	return roadnet.SegmentID(r.IntN(2 * len(p.stretch)))
}

func (p *plan) head(s roadnet.SegmentID) roadnet.NodeID {
	if s.Forward() {
		return p.stretch[s.Stretch()].head
	}
	return p.stretch[s.Stretch()].tail
}

func (p *plan) anyAfter(r *rand.Rand, s roadnet.SegmentID) (roadnet.SegmentID, bool) {
	arms := p.arms[p.head(s)]
	next := arms[r.IntN(len(arms))]
	return next, next != s.Opposite()
}

func (p *plan) open(s roadnet.SegmentID) bool {
	use := p.stretch[s.Stretch()].use[s&1]
	return use == extract.Through || use == extract.Destination
}

// network lays the columns. Turning round is there at every fifth node.
func (p *plan) network(t testing.TB) *roadnet.Network {
	t.Helper()
	c := roadnet.Columns{NodeLonE7: p.lon, NodeLatE7: p.lat, NameStart: []uint32{0, 0}}
	for v := range p.lon {
		c.NodeOSM = append(c.NodeOSM, int64(v+1))
		c.NodeFeatures = append(c.NodeFeatures, 0)
		c.NodeJunction = append(c.NodeJunction, roadnet.JunctionID(v))
		kind := roadnet.NoJunction
		if len(p.arms[v]) > 2 {
			kind = roadnet.JunctionKind(1 + v%4)
			if p.kind != roadnet.NoJunction {
				kind = p.kind
			}
		}
		c.JunctionKinds = append(c.JunctionKinds, kind)
		c.JunctionArms = append(c.JunctionArms, uint8(len(p.arms[v])))
		c.JunctionNodeStart = append(c.JunctionNodeStart, uint32(v))
		c.JunctionNode = append(c.JunctionNode, roadnet.NodeID(v))
	}
	c.JunctionLonE7, c.JunctionLatE7 = p.lon, p.lat
	c.JunctionNodeStart = append(c.JunctionNodeStart, uint32(len(p.lon)))
	for i, s := range p.stretch {
		c.StretchTail = append(c.StretchTail, s.tail)
		c.StretchHead = append(c.StretchHead, s.head)
		c.StretchLengthMm = append(c.StretchLengthMm, s.lengthMm)
		c.StretchZone = append(c.StretchZone, s.zone)
		c.StretchFlags = append(c.StretchFlags, 0)
		c.StretchName = append(c.StretchName, 0)
		c.StretchRef = append(c.StretchRef, 0)
		c.VertexStart = append(c.VertexStart, uint32(2*i))
		c.VertexLonE7 = append(c.VertexLonE7, p.lon[s.tail], p.lon[s.head])
		c.VertexLatE7 = append(c.VertexLatE7, p.lat[s.tail], p.lat[s.head])
		c.PieceStart = append(c.PieceStart, uint32(len(c.PieceWay)))
		// Every third stretch changes its limit half-way.
		for part := range uint32(1 + i%3/2) {
			c.PieceWay = append(c.PieceWay, int64(1000+i))
			c.PieceReversed = append(c.PieceReversed, 0)
			c.PieceFromMm = append(c.PieceFromMm, part*(s.lengthMm/2))
			c.PieceWayFromMm = append(c.PieceWayFromMm, part*(s.lengthMm/2))
			c.PieceFirstNode = append(c.PieceFirstNode, 0)
			c.PieceVertex = append(c.PieceVertex, 0)
			c.PieceName = append(c.PieceName, 0)
			c.PieceRef = append(c.PieceRef, 0)
			c.PieceAttributes = append(c.PieceAttributes, uint32(len(c.AttributeRows)))
			a := s.attributes
			a.LimitLowDkmh[0] = max(a.LimitLowDkmh[0], 300*uint16(part))
			c.AttributeRows = append(c.AttributeRows, a)
		}
		c.MouthStart = append(c.MouthStart, 0)
		c.ThingStart = append(c.ThingStart, uint32(len(c.ThingAlongMm)))
		for _, thing := range s.things {
			c.ThingAlongMm = append(c.ThingAlongMm, uint32(thing.Along))
			c.ThingFeatures = append(c.ThingFeatures, thing.Features)
			c.ThingDirection = append(c.ThingDirection, thing.Direction)
		}
		c.SegmentUse = append(c.SegmentUse, s.use[0], s.use[1])
	}
	c.VertexStart = append(c.VertexStart, uint32(len(c.VertexLonE7)))
	c.PieceStart = append(c.PieceStart, uint32(len(c.PieceWay)))
	c.MouthStart = append(c.MouthStart, 0)
	c.ThingStart = append(c.ThingStart, uint32(len(c.ThingAlongMm)))

	remembers := make(map[[2]roadnet.SegmentID]roadnet.StateID) // segment pair → state of the second
	segments := roadnet.SegmentID(2 * len(p.stretch))
	for s := range segments {
		c.StateSegment = append(c.StateSegment, s)
	}
	for _, ban := range p.viaBan {
		remembers[[2]roadnet.SegmentID{ban[0], ban[1]}] = roadnet.StateID(len(c.StateSegment))
		c.StateSegment = append(c.StateSegment, ban[1])
	}
	for state, s := range c.StateSegment {
		c.TurnStart = append(c.TurnStart, uint32(len(c.TurnTo)))
		for _, next := range p.arms[p.head(s)] {
			u := next == s.Opposite()
			if !p.open(s) || !p.open(next) || p.banned[[2]roadnet.SegmentID{s, next}] || u && p.head(s)%5 != 0 {
				continue
			}
			if state >= int(segments) && next == p.viaBan[state-int(segments)][2] {
				continue
			}
			to, ok := remembers[[2]roadnet.SegmentID{s, next}]
			if !ok {
				to = roadnet.StateID(next)
			}
			c.TurnTo = append(c.TurnTo, to)
			c.TurnAngle = append(c.TurnAngle, int16(7000*(int(next)%9-4)))
			c.TurnU = append(c.TurnU, map[bool]uint8{true: 1}[u])
		}
	}
	c.TurnStart = append(c.TurnStart, uint32(len(c.TurnTo)))
	c.Derive()
	n, err := roadnet.New(c)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func anyPosition(r *rand.Rand, n *roadnet.Network) roadnet.Position {
	s := roadnet.SegmentID(r.IntN(n.NumSegments()))
	return roadnet.Position{Segment: s, Along: n.Length(s.Stretch()) * geo.Metres(r.IntN(1001)) / 1000}
}

func middleWeights(t testing.TB, n *roadnet.Network, code string) *route.Weights {
	t.Helper()
	profile, err := country.ByCode(code)
	if err != nil {
		t.Fatal(err)
	}
	paces, err := route.Paces()
	if err != nil {
		t.Fatal(err)
	}
	return route.NewWeights(n, profile, paces[route.DefaultStage])
}
