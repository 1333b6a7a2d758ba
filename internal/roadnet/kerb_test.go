package roadnet_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

func TestKerbNames(t *testing.T) {
	for name, want := range map[string]roadnet.Kerb{
		"w123+45l":  {Way: 123, Along: 45, Side: roadnet.Left},
		"w1+0r":     {Way: 1, Along: 0, Side: roadnet.Right},
		"w99+1234r": {Way: 99, Along: 1234, Side: roadnet.Right},
	} {
		got, err := roadnet.ParseKerb(name)
		if err != nil || got != want {
			t.Errorf("ParseKerb(%q) = %v, %v, want %v", name, got, err, want)
		}
		if want.String() != name {
			t.Errorf("%v.String() = %q, want %q", want, want.String(), name)
		}
	}
	for _, name := range []string{"", "w", "123+45l", "w123+45", "w123+45x", "w-1+4l", "w1+4.5l", "W1+4l", "w1+4l ", "w99999999999999999999+1l", "High Street"} {
		if k, err := roadnet.ParseKerb(name); err == nil {
			t.Errorf("ParseKerb(%q) = %v, want an error", name, k)
		}
	}
}

// The bend has two ways, the second drawn against the first; the stretch runs
// along way 1.
const twoWays = `
	A 0,0
	B 100,0
	C 100,200
	A-B Mill Lane
	C-B Mill Lane
`

func TestKerbAt(t *testing.T) {
	n := roadnettest.Parse(t, twoWays)
	forth, back := roadnettest.Segment(t, n, "A>C"), roadnettest.Segment(t, n, "C>A")
	for _, c := range []struct {
		pos  roadnet.Position
		side roadnet.Side
		want string
	}{
		{roadnet.Position{Segment: forth, Along: 30}, roadnet.Left, "w1+30l"},
		{roadnet.Position{Segment: forth, Along: 30}, roadnet.Right, "w1+30r"},
		{roadnet.Position{Segment: back, Along: 270}, roadnet.Left, "w1+30r"},
		{roadnet.Position{Segment: forth, Along: 150}, roadnet.Left, "w2+150r"},
		{roadnet.Position{Segment: back, Along: 50}, roadnet.Left, "w2+50l"},
	} {
		got := n.KerbAt(c.pos, c.side)
		if got.String() != c.want {
			t.Errorf("KerbAt(%v, %v) = %v, want %s", c.pos, c.side, got, c.want)
		}
		pos, side, err := n.LocateKerb(got)
		if err != nil {
			t.Fatal(err)
		}
		if pos.Segment != c.pos.Segment {
			pos, side = n.Opposite(pos), side.Opposite()
		}
		if pos.Segment != c.pos.Segment || side != c.side || math.Abs(float64(pos.Along-c.pos.Along)) > 0.6 {
			t.Errorf("LocateKerb(%v) = %v, %v, want %v, %v", got, pos, side, c.pos, c.side)
		}
	}
	for kerb, says := range map[roadnet.Kerb]string{
		{Way: 77, Along: 1, Side: roadnet.Left}:  "no road with way 77",
		{Way: 1, Along: 120, Side: roadnet.Left}: "ends at 100 m",
	} {
		if _, _, err := n.LocateKerb(kerb); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("LocateKerb(%v): %v, want it to say %q", kerb, err, says)
		}
	}
}

// At any position a kerb's name leads back to the same stretch, within half a
// metre, or one near the end of its piece, where the nearest whole metre is beyond.
func TestKerbThereAndBack(t *testing.T) {
	const seed = 1
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	n := roadnettest.Parse(t, littleTown)
	for range 2000 {
		segment := roadnet.SegmentID(random.IntN(n.NumSegments()))
		pos := roadnet.Position{Segment: segment, Along: geo.Metres(random.Float64()) * n.Length(segment.Stretch())}
		back, _, err := n.LocateKerb(n.KerbAt(pos, roadnet.Left))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := n.At(pos)
		b, _ := n.At(back)
		along := pos.Along
		if !segment.Forward() {
			along = n.Opposite(pos).Along
		}
		piece := n.PieceAt(segment.Stretch(), along)
		near := min(along-piece.From, piece.To-along) < 0.5
		if away := geo.Distance(a, b); away > 1 || away > 0.501 && !near || back.Segment.Stretch() != segment.Stretch() {
			t.Errorf("%v: the kerb's name leads %.2f m away, to %v", pos, float64(away), back)
		}
	}
}
