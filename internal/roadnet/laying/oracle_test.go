package laying_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// town is a random small network as a set of arrows between letters, with
// rules over the letters driven through: what the tests hold the turn table
// against knows nothing of ways, stretches or states.
type town struct {
	drawing string
	arrows  map[string]bool // "AB": one may drive from A to B
	heads   map[byte]bool   // turning heads
	bans    []string        // "ABC", "ABCD": not to be driven through
	onlys   []string        // once on the first two letters, only along the rest
}

// randomTown has one way per pair of neighbours, and every node a break (a
// mini-roundabout), so that driving is the same as spelling.
func randomTown(random *rand.Rand) *town {
	w := &town{arrows: map[string]bool{}, heads: map[byte]bool{}}
	var b strings.Builder
	n := 5 + random.IntN(3)
	for i := range n {
		fmt.Fprintf(&b, "%c %d,%d\n", 'A'+i, random.IntN(1000), random.IntN(1000))
	}
	neighbours := map[byte]int{}
	for i := range n {
		for j := range i {
			x, y := byte('A'+j), byte('A'+i)
			chance := random.Float64()
			if chance > 0.5 {
				continue
			}
			neighbours[x]++
			neighbours[y]++
			if chance < 0.15 {
				if random.IntN(2) == 0 {
					x, y = y, x
				}
				fmt.Fprintf(&b, "%c>%c\n", x, y)
			} else {
				fmt.Fprintf(&b, "%c-%c\n", x, y)
				w.arrows[string([]byte{y, x})] = true
			}
			w.arrows[string([]byte{x, y})] = true
		}
	}
	for i := range n {
		v := byte('A' + i)
		if neighbours[v] == 0 {
			continue
		}
		fmt.Fprintf(&b, "mini %c\n", v)
		if random.IntN(3) == 0 {
			fmt.Fprintf(&b, "turning %c\n", v)
			w.heads[v] = neighbours[v] == 1
		}
	}
	for range random.IntN(8) {
		word := w.randomWord(random, 3+random.IntN(3))
		if word == "" {
			continue
		}
		path := strings.Join(strings.Split(word, ""), "-")
		if random.IntN(3) == 0 {
			w.onlys = append(w.onlys, word)
			fmt.Fprintf(&b, "only %s\n", path)
		} else {
			w.bans = append(w.bans, word)
			fmt.Fprintf(&b, "ban %s\n", path)
		}
	}
	w.drawing = b.String()
	return w
}

// randomWord spells a path that never goes straight back, or gives up.
func (w *town) randomWord(random *rand.Rand, letters int) string {
	var arrows []string
	for a := range w.arrows {
		arrows = append(arrows, a)
	}
	slices.Sort(arrows)
	word := arrows[random.IntN(len(arrows))]
	for len(word) < letters {
		var next []string
		for _, a := range arrows {
			if a[0] == word[len(word)-1] && a[1] != word[len(word)-2] {
				next = append(next, a[1:])
			}
		}
		if len(next) == 0 {
			return ""
		}
		word += next[random.IntN(len(next))]
	}
	return word
}

// legal says whether a word may be driven, rule by rule.
func (w *town) legal(word string) bool {
	for i := 1; i < len(word); i++ {
		if !w.arrows[word[i-1:i+1]] {
			return false
		}
		if i > 1 && word[i] == word[i-2] && !w.heads[word[i-1]] {
			return false
		}
	}
	for _, ban := range w.bans {
		if strings.Contains(word, ban) {
			return false
		}
	}
	for _, only := range w.onlys {
		for i := range word {
			rest := word[i:]
			for k := 2; k < len(only) && k < len(rest); k++ {
				if rest[:k] == only[:k] && rest[k] != only[k] {
					return false
				}
			}
		}
	}
	return true
}

// words are all legal words of so many letters.
func (w *town) words(letters int) []string {
	var words []string
	for a := range w.arrows {
		words = append(words, a)
	}
	for n := 2; n < letters; n++ {
		var longer []string
		for _, word := range words {
			for a := range w.arrows {
				if a[0] == word[len(word)-1] && w.legal(word+a[1:]) {
					longer = append(longer, word+a[1:])
				}
			}
		}
		words = longer
	}
	slices.Sort(words)
	return words
}

// spelled are all words of so many letters that the turn table allows.
func spelled(n *roadnet.Network, letters int) []string {
	letter := func(v roadnet.NodeID) string { return string(rune(n.NodeOSM(v) - 11 + 'A')) }
	var words []string
	var drive func(state roadnet.StateID, word string)
	drive = func(state roadnet.StateID, word string) {
		word += letter(n.Head(n.StateSegment(state)))
		if len(word) == letters {
			words = append(words, word)
			return
		}
		lo, hi := n.TurnRange(state)
		for t := lo; t < hi; t++ {
			drive(n.TurnAt(t).To, word)
		}
	}
	for s := range roadnet.SegmentID(n.NumSegments()) {
		if n.Drivable(s) {
			drive(roadnet.StateID(s), letter(n.Tail(s)))
		}
	}
	slices.Sort(words)
	return words
}

// The turn table allows just the drives that the rules allow, whatever they
// remember of the way.
func TestTurnsAgainstRules(t *testing.T) {
	const seed = 3
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	rules := 0
	for range 300 {
		w := randomTown(random)
		n := roadnettest.Parse(t, w.drawing)
		got, want := spelled(n, 6), w.words(6)
		if !slices.Equal(got, want) {
			t.Fatalf("the turn table allows %d drives of six nodes, the rules %d, in\n%s", len(got), len(want), w.drawing)
		}
		rules += n.About().Made.Restrictions.Obeyed
	}
	if rules < 300 {
		t.Errorf("only %d restrictions were of consequence", rules)
	}
}

// The core is what lies on a closed drive without turning round: found again
// from words long enough to remember every rule.
func TestCoreAgainstDrives(t *testing.T) {
	const seed = 4
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	inside, outside := 0, 0
	for range 100 {
		w := randomTown(random)
		n := roadnettest.Parse(t, w.drawing)
		w.heads = nil // turning round does not count
		const memory = 5
		words := w.words(memory)
		closed := map[string]bool{} // arrows on a closed drive
		for _, word := range words {
			if reaches(w, word) {
				closed[word[memory-2:]] = true
			}
		}
		for s := range roadnet.StretchID(n.NumStretches()) {
			forward := s.Segment(true)
			name := func(v roadnet.NodeID) string { return string(rune(n.NodeOSM(v) - 11 + 'A')) }
			a, b := name(n.Tail(forward)), name(n.Head(forward))
			want := closed[a+b] || closed[b+a]
			if got := n.InCore(s); got != want {
				t.Fatalf("InCore(%s%s) = %v, want %v, in\n%s", a, b, got, want, w.drawing)
			}
			if want {
				inside++
			} else {
				outside++
			}
		}
	}
	if inside < 100 || outside < 100 {
		t.Errorf("%d stretches inside the core and %d outside: too few of a kind", inside, outside)
	}
}

// reaches says whether a drive that ends with the word can go on to end with
// the same word again.
func reaches(w *town, word string) bool {
	seen := map[string]bool{}
	queue := []string{word}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for a := range w.arrows {
			if a[0] != at[len(at)-1] || !w.legal(at+a[1:]) {
				continue
			}
			next := at[1:] + a[1:]
			if next == word {
				return true
			}
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return false
}
