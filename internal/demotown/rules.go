package demotown

import (
	"math"
	"sort"

	"loopwright/internal/geo"
)

// setRules gives the roads what the signs say: limits, one-way streets, where
// a learner's car may not go, and what is being built.
func (t *town) setRules() {
	for _, r := range t.roads {
		r.limit = t.limitOf(r)
		r.measured = r.class.public() && !r.lane && r.class >= tertiary && t.stream("measured "+r.name).Float64() < 0.05
	}
	t.setOneWays()
	t.setPrivate()
	t.setUnderConstruction()
	t.setModalFilters()
	for _, r := range t.roads {
		if r.name == "Coldharrow Lane" || r.name == "Sandfield Lane" {
			r.lane = true
		}
		if r.name == "Gibbet Lane" || r.name == "Down Lane" || r.name == "Sandfield Lane" {
			r.rough = t.stream("rough "+r.name).Float64() < 0.9
		}
		if (r.district.name == centre || r.district.name == riverside) && r.class == residential && lengthOf(t.line(r)) < 140 {
			r.setts = t.stream("setts "+r.name).Float64() < 0.55
		}
		if r.class == residential && r.district.name == newEstate && r.head && lengthOf(t.line(r)) < 95 {
			r.class = livingStreet
		}
	}
}

func (t *town) limitOf(r *road) int {
	mid, _ := geo.Polyline(t.line(r)).At(geo.Polyline(t.line(r)).Length() / 2)
	switch {
	case r.dual:
		return 70
	case r.class == trunk:
		return 60
	case districtAt(mid).name == countryside && r.spacing == 0 && r.class.public():
		if math.Hypot(mid.X, mid.Y) < 2450 && r.class.major() {
			return 40
		}
		return 60
	case r.class.major():
		if r.district.name == centre {
			return 20
		}
		return 30
	}
	return r.district.limit
}

// setOneWays makes some terraced streets and lanes of the centre one-way, as
// long as every road can still be reached and left.
func (t *town) setOneWays() {
	random := t.stream("one-ways")
	made := 0
	for _, i := range random.Perm(len(t.roads)) {
		r := t.roads[i]
		q := r.district.name
		if made == 22 {
			return
		}
		if r.class != residential || r.head || (q != terraces && q != centre) || r.name == "" || lengthOf(t.line(r)) < 70 {
			continue
		}
		r.oneWay = true
		if random.Float64() < 0.5 {
			r.nodes = reversed(r.nodes)
		}
		if !t.connected() {
			r.oneWay = false
			continue
		}
		r.backward = made%9 == 4
		made++
	}
}

// connected says whether every public road that can be reached from the market
// place can also be left for it.
func (t *town) connected() bool {
	forward, back, either := make([][]int, len(t.nodes)), make([][]int, len(t.nodes)), make([][]int, len(t.nodes))
	for _, r := range t.roads {
		if !r.class.public() || r.name == "Decoy Lane" {
			continue
		}
		for i := 1; i < len(r.nodes); i++ {
			a, b := r.nodes[i-1], r.nodes[i]
			forward[a], back[b] = append(forward[a], b), append(back[b], a)
			if !r.oneWay {
				forward[b], back[a] = append(forward[b], a), append(back[a], b)
			}
			either[a], either[b] = append(either[a], b), append(either[b], a)
		}
	}
	start := t.nodeAt(market)
	all := flood(either, start)
	return flood(forward, start) == all && flood(back, start) == all
}

// flood counts the nodes that can be reached along the arms of each.
func flood(arms [][]int, start int) int {
	seen, stack, count := make([]bool, len(arms)), []int{start}, 1
	seen[start] = true
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, k := range arms[n] {
			if !seen[k] {
				seen[k] = true
				stack = append(stack, k)
				count++
			}
		}
	}
	return count
}

// deadEnds are dead ends of a district that nothing hangs on, longest first.
func (t *town) deadEnds(q quarter) []*road {
	var out []*road
	for _, r := range t.roads {
		if r.district.name == q && r.head && (r.class == residential || r.class == unclassified) {
			free := true
			for _, id := range r.nodes[1:] {
				free = free && t.nodes[id].arms <= 2
			}
			if free {
				out = append(out, r)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return lengthOf(t.line(out[i])) > lengthOf(t.line(out[j])) })
	return out
}

// setPrivate closes some dead ends to all but those who live there.
func (t *town) setPrivate() {
	for _, q := range [3]quarter{hillside, newEstate, works} {
		for i, r := range t.deadEnds(q) {
			if i == 15 {
				break
			}
			if i%3 == 0 {
				r.private = true
				if i%2 == 0 {
					r.gate = t.cutAt(r, 7)
					t.nodes[r.gate].tags = tags{"barrier": "gate", "access": "private"}
				}
			}
		}
	}
}

// setUnderConstruction leaves the last streets of the new estate unbuilt.
func (t *town) setUnderConstruction() {
	for i, r := range t.deadEnds(newEstate) {
		if i == 1 || i == 5 {
			r.class = unbuilt
			r.tags = tags{"construction": "residential"}
		}
	}
}

// setModalFilters puts bollards in the middle of some cross streets among the
// terraces, so that they no longer carry cars through.
func (t *town) setModalFilters() {
	made := 0
	for _, r := range t.roads {
		if made == 3 {
			return
		}
		long := lengthOf(t.line(r))
		if r.district.name != terraces || r.class != residential || r.head || r.oneWay || long < 80 || long > 160 {
			continue
		}
		id := t.cutAt(r, long/2)
		if t.nodes[id].arms == 2 {
			t.nodes[id].tags = tags{"barrier": "bollard"}
			made++
		}
	}
}
