package laying

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// findCore marks the stretches of the through core: those of which a state
// lies on a closed walk of turns between public segments, none of them going
// back along the same stretch. Such states are those in strongly connected
// components with a turn inside: Tarjan, "Depth-first search and linear graph
// algorithms", 1972, doi:10.1137/0201010, here with a stack of our own, since
// a country's network is deeper than a goroutine's should be.
func (s *site) findCore() {
	c := &s.c
	c.StretchFlags = make([]roadnet.StretchFlags, len(c.StretchTail))
	states := len(c.StateSegment)
	const unseen = 0
	var (
		number = make([]uint32, states) // by state, from 1 in order of discovery; unseen
		low    = make([]uint32, states)
		nextT  = make([]uint32, states) // the turn to look at next
		open   = make([]bool, states)   // on the component stack
		stack  []uint32                 // of the component
		path   []uint32                 // of the search
		count  uint32
	)
	public := func(state uint32) bool { return c.SegmentUse[c.StateSegment[state]] == extract.Through }
	enter := func(state uint32) {
		count++
		number[state], low[state] = count, count
		nextT[state] = c.TurnStart[state]
		open[state] = true
		stack, path = append(stack, state), append(path, state)
	}
	mark := func(state uint32) { c.StretchFlags[c.StateSegment[state].Stretch()] |= roadnet.FlagInCore }
	for root := range uint32(states) {
		if number[root] != unseen || !public(root) {
			continue
		}
		enter(root)
		for len(path) > 0 {
			state := path[len(path)-1]
			if nextT[state] < c.TurnStart[state+1] {
				t := nextT[state]
				nextT[state]++
				to := uint32(c.TurnTo[t])
				switch {
				case c.TurnU[t] != 0 || !public(to):
				case number[to] == unseen:
					enter(to)
				case to == state:
					mark(state) // a ring of one stretch
				case open[to]:
					low[state] = min(low[state], number[to])
				}
				continue
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				below := path[len(path)-1]
				low[below] = min(low[below], low[state])
			}
			if low[state] != number[state] {
				continue
			}
			alone := stack[len(stack)-1] == state
			for {
				top := stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				open[top] = false
				if !alone {
					mark(top)
				}
				if top == state {
					break
				}
			}
		}
	}
}
