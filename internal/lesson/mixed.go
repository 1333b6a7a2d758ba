package lesson

// mixes says whether an order leads from a no to a yes and on to a no that
// tempts: no clearer than the first. A single no comes before the yes.
func (p *problem) mixes(order []int, firstSuitable, lastUnsuitable int) bool {
	if len(order) == 0 || p.suits[order[0]] {
		return false
	}
	if p.unsuitable < 2 {
		return lastUnsuitable < firstSuitable
	}
	return firstSuitable < lastUnsuitable && p.worth[order[lastUnsuitable]] <= p.worth[order[0]]
}
