package laying

import (
	"slices"

	"loopwright/internal/roadnet"
)

// automaton recognises barred sequences of segments: Aho and Corasick,
// "Efficient string matching: an aid to bibliographic search", 1975,
// doi:10.1145/360825.360855, algorithms 1 to 3, with segments for letters.
// Ours differs in what it is for: a step that would complete a sequence is
// refused, so that states in which one has been seen are never entered; and a
// state of depth 1 is the plain segment, so that only deeper ones are new.
type automaton struct {
	nodes []trieNode // the first is the root
}

type trieNode struct {
	segment roadnet.SegmentID
	depth   int
	fail    int
	barred  bool // a barred sequence ends here
	next    []trieEdge
	state   roadnet.StateID
}

type trieEdge struct {
	segment roadnet.SegmentID
	node    int
}

// newAutomaton builds the machine for sequences of three segments or more, in
// any order, repeats allowed. New states are numbered from first.
func newAutomaton(sequences [][]roadnet.SegmentID, first roadnet.StateID) *automaton {
	slices.SortFunc(sequences, slices.Compare)
	a := &automaton{nodes: []trieNode{{}}}
	for _, sequence := range sequences {
		at := 0
		for _, segment := range sequence {
			at = a.child(at, segment)
		}
		a.nodes[at].barred = true
	}
	// Breadth first, so that a node's fail node is complete before it.
	queue := []int{0}
	for i := 0; i < len(queue); i++ {
		for _, edge := range a.nodes[queue[i]].next {
			node := &a.nodes[edge.node]
			if queue[i] != 0 {
				node.fail = a.step(a.nodes[queue[i]].fail, edge.segment)
			}
			node.barred = node.barred || a.nodes[node.fail].barred
			node.state = roadnet.StateID(edge.segment)
			if node.depth > 1 && !node.barred {
				node.state = first
				first++
			}
			queue = append(queue, edge.node)
		}
	}
	return a
}

// child is the trie's node after one more segment, made if it is not there.
func (a *automaton) child(at int, segment roadnet.SegmentID) int {
	if to, ok := a.find(at, segment); ok {
		return to
	}
	to := len(a.nodes)
	a.nodes = append(a.nodes, trieNode{segment: segment, depth: a.nodes[at].depth + 1})
	a.nodes[at].next = append(a.nodes[at].next, trieEdge{segment, to})
	return to
}

// find looks an edge up; sequences came sorted, so edges are.
func (a *automaton) find(at int, segment roadnet.SegmentID) (int, bool) {
	next := a.nodes[at].next
	i, ok := slices.BinarySearchFunc(next, segment, func(e trieEdge, s roadnet.SegmentID) int { return int(e.segment) - int(s) })
	if !ok {
		return 0, false
	}
	return next[i].node, true
}

// step is the longest suffix of what was driven, with one more segment, that
// begins a barred sequence: 0, the root, if none does.
func (a *automaton) step(at int, segment roadnet.SegmentID) int {
	for {
		if to, ok := a.find(at, segment); ok {
			return to
		}
		if at == 0 {
			return 0
		}
		at = a.nodes[at].fail
	}
}

// of is the trie's node of a plain segment, the root if it begins no sequence.
func (a *automaton) of(segment roadnet.SegmentID) int { return a.step(0, segment) }
