package extract

import "slices"

// sortIDs sorts ids and drops repeats, in place of the slice given. Radix sort
// by 11 bits, least digit first (Knuth, "The Art of Computer Programming",
// vol. 3, 5.2.5), over as many digits as the ids differ in; negative ids,
// which editors give to what is new, come first.
func sortIDs(ids []NodeID) []NodeID {
	const bits, mask = 11, 1<<11 - 1
	if len(ids) < 1<<10 {
		slices.Sort(ids)
		return slices.Compact(ids)
	}
	var differ uint64
	for _, id := range ids {
		differ |= uint64(id ^ ids[0])
	}
	from, to := ids, make([]NodeID, len(ids))
	for shift := 0; shift < 64 && differ>>shift != 0; shift += bits {
		var start [mask + 2]int
		for _, id := range from {
			start[digit(id, shift, mask)+1]++
		}
		for d := 1; d < len(start); d++ {
			start[d] += start[d-1]
		}
		for _, id := range from {
			d := digit(id, shift, mask)
			to[start[d]] = id
			start[d]++
		}
		from, to = to, from
	}
	return slices.Compact(from)
}

// digit is one of an id's digits, with the sign bit turned over.
func digit(id NodeID, shift int, mask uint64) uint64 {
	return (uint64(id) ^ 1<<63) >> shift & mask
}

// seeker looks up ids in a sorted list, fast where they come in rising order,
// as they do in a file: exponential search from the last place (Bentley and
// Yao, "An almost optimal algorithm for unbounded searching", 1976).
type seeker struct {
	ids []NodeID
	at  int
}

// find gives the place of an id.
func (s *seeker) find(id NodeID) (int, bool) {
	ids, i := s.ids, s.at
	if i < len(ids) && ids[i] >= id || i == len(ids) {
		if i == 0 || ids[i-1] < id { // between two neighbours, where we stand
			return i, i < len(ids) && ids[i] == id
		}
		i = 0
	}
	for near := 0; near < 8; near++ {
		if i == len(ids) || ids[i] >= id {
			s.at = i
			return i, i < len(ids) && ids[i] == id
		}
		i++
	}
	step := 8
	for i+step < len(ids) && ids[i+step] < id {
		i += step
		step *= 2
	}
	j, found := slices.BinarySearch(ids[i:min(i+step+1, len(ids))], id)
	s.at = i + j
	return s.at, found
}
