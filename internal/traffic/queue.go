package traffic

// queue is a heap with four children a node, of words that hold a time in
// their upper and a node in their lower half, so that equal times come out by
// node and nothing depends on chance. A node whose time falls is pushed again
// and its old entry comes up stale (Johnson, "Priority queues with update and
// finding minimum spanning trees", 1975, for the d-ary heap; difference: no
// decrease-key).
type queue []uint64

func (q *queue) push(ms, node uint32) {
	e := uint64(ms)<<32 | uint64(node)
	h := append(*q, e)
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 4
		if h[up] <= e {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = e
	*q = h
}

// pop takes the least entry of a queue that is not empty.
func (q *queue) pop() (ms, node uint32) {
	h := *q
	least, last := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	*q = h
	i := 0
	for {
		child := 4*i + 1
		if child >= len(h) {
			break
		}
		best := h[child]
		for c := child + 1; c < min(child+4, len(h)); c++ {
			if h[c] < best {
				best, child = h[c], c
			}
		}
		if last <= best {
			break
		}
		h[i] = best
		i = child
	}
	if len(h) > 0 {
		h[i] = last
	}
	return uint32(least >> 32), uint32(least)
}
