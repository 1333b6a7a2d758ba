package route

// queue is a heap with four children a node, of words that hold a time in
// their upper and a label in their lower half: the order is by time, and among
// equal times by label, so that nothing depends on chance. A label whose time
// falls is pushed again and its old entry left to come up stale (Johnson,
// "Priority queues with update and finding minimum spanning trees", 1975, for
// the d-ary heap; difference: no decrease-key).
type queue []uint64

func entry(ms, label uint32) uint64 { return uint64(ms)<<32 | uint64(label) }

func (q *queue) push(e uint64) {
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
func (q *queue) pop() uint64 {
	h := *q
	least, last := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	*q = h
	if len(h) == 0 {
		return least
	}
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
	h[i] = last
	return least
}
