package lesson

import "testing"

// Of four roads to judge, two noes (the first the clearer) and two yeses.
func TestMixes(t *testing.T) {
	p := &problem{unsuitable: 2, suitable: 1, suits: []bool{false, false, true, true}, worth: []float64{0.9, 0.5, 0.8, 0.8}}
	for _, c := range []struct {
		name  string
		order []int
		want  bool
	}{
		{"a clear no, a yes, a tempting no", []int{0, 2, 1}, true},
		{"a tempting no, a yes, a clear no", []int{1, 2, 0}, false},
		{"both noes first", []int{0, 1, 2}, false},
		{"the yes first", []int{2, 0, 1}, false},
		{"nothing", nil, false},
	} {
		first, last := len(c.order), -1
		for i, e := range c.order {
			if p.suits[e] {
				first = min(first, i)
			} else {
				last = i
			}
		}
		if got := p.mixes(c.order, first, last); got != c.want {
			t.Errorf("%s: mixes = %v, want %v", c.name, got, c.want)
		}
	}
	p.unsuitable = 1
	if !p.mixes([]int{0, 2, 3}, 1, 0) {
		t.Error("a single no before the yeses does not count as mixed")
	}
}
