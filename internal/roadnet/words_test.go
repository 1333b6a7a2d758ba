package roadnet

import "testing"

// Every kind has a word of its own.
func TestWords(t *testing.T) {
	check := func(kind string, count int, word func(int) string) {
		seen := map[string]bool{}
		for i := range count {
			w := word(i)
			if w == "" || seen[w] {
				t.Errorf("%s %d has the word %q", kind, i, w)
			}
			seen[w] = true
		}
	}
	check("side", int(sideCount), func(i int) string { return Side(i).String() })
	check("junction kind", int(junctionKindCount), func(i int) string { return JunctionKind(i).String() })
	check("mouth kind", int(mouthKindCount), func(i int) string { return MouthKind(i).String() })
}

func TestOpposite(t *testing.T) {
	for side, want := range map[Side]Side{Left: Right, Right: Left, Both: Both, SideUnknown: SideUnknown} {
		if got := side.Opposite(); got != want {
			t.Errorf("%v.Opposite() = %v, want %v", side, got, want)
		}
	}
}
