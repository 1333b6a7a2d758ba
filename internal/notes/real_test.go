package notes

import (
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
	orbgeo "github.com/paulmach/orb/geo"
	"github.com/qedus/osmpbf"

	"loopwright/internal/calendar"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/indexing/indexingtest"
	"loopwright/internal/roadnet"
)

var networks sync.Map // by name

// network indexes a real extract, once.
func network(t testing.TB, name string) *roadnet.Network {
	t.Helper()
	path := indexingtest.Shared(t, name)
	if n, ok := networks.Load(name); ok {
		return n.(*roadnet.Network)
	}
	n, _ := indexingtest.Lay(t, path, "gb")
	networks.Store(name, n)
	return n
}

// randomNote is a note of any kind anywhere on a network, in proportion to
// length.
func randomNote(rng *rand.Rand, n *roadnet.Network) Note {
	for {
		s := roadnet.StretchID(rng.IntN(n.NumStretches()))
		if float64(n.Length(s)) < rng.Float64()*400 {
			continue
		}
		pos := roadnet.Position{Segment: s.Segment(rng.IntN(2) == 0), Along: geo.Metres(rng.Float64()) * n.Length(s)}
		side := []roadnet.Side{roadnet.Left, roadnet.Right}[rng.IntN(2)]
		return sayAnything(rng, PlaceAt(n, pos, side))
	}
}

// sayAnything is a note of any kind at a place.
func sayAnything(rng *rand.Rand, at Place) Note {
	n := Note{
		Author: []string{"AB", "CD", "EF"}[rng.IntN(3)], Kind: Kinds()[rng.IntN(len(Kinds()))], Place: at,
		Day: calendar.Date{Year: 2027, Month: 1, Day: 1}.Add(rng.IntN(700)), Minute: rng.IntN(25*60) - 60,
	}
	n.Minute = max(n.Minute, -1)
	switch n.Kind {
	case Width:
		n.Metres, n.Method = geo.Metres(3+rng.IntN(60))/10+3, Method(1+rng.IntN(int(methodCount)-1))
	case Sight:
		n.Metres = geo.Metres(10 + rng.IntN(90))
	case Bins, Market:
		n.Hours = "Th 06:00-12:00"
	case Suits, Use:
		n.Exercise = []string{"turn-in-the-road", "parallel-park"}[rng.IntN(2)]
	case Closure:
		n.From, n.Until = n.Day, n.Day.Add(rng.IntN(20))
	case Text:
		n.Text = "mind the dog"
	}
	if words := n.Kind.Words(); len(words) > 0 && n.Kind != Sight {
		n.Word = words[rng.IntN(len(words))]
	}
	return n
}

// drawn is a way as the extract draws it.
type drawn struct {
	id   int64
	tags map[string]string
	line orb.LineString
}

// waysOf reads the ways of an extract with nothing of this project.
func waysOf(t *testing.T, path string) map[int64]*drawn {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := osmpbf.NewDecoder(f)
	if err := in.Start(2); err != nil {
		t.Fatal(err)
	}
	at := map[int64]orb.Point{} // nodes come before ways in these files
	ways := map[int64]*drawn{}
	for {
		o, err := in.Decode()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch o := o.(type) {
		case *osmpbf.Node:
			at[o.ID] = orb.Point{o.Lon, o.Lat}
		case *osmpbf.Way:
			d := &drawn{id: o.ID, tags: o.Tags}
			for _, n := range o.NodeIDs {
				if p, ok := at[n]; ok {
					d.line = append(d.line, p)
				}
			}
			if o.Tags["highway"] != "" {
				ways[d.id] = d
			}
		}
	}
	return ways
}

// lies is how far a position lies from a line in metres, by steps of half a
// metre along great circles; of the parts that run within some degrees of a
// heading.
func (d *drawn) lies(p orb.Point, heading, within float64) (away float64) {
	away = math.Inf(1)
	for i := 1; i < len(d.line); i++ {
		a, b := d.line[i-1], d.line[i]
		length := orbgeo.Distance(a, b)
		if min(orbgeo.Distance(a, p), orbgeo.Distance(b, p)) > length+50 || apart(orbgeo.Bearing(a, b), heading) > within {
			continue
		}
		for at := 0.0; at <= length; at += 0.5 {
			q := a
			if length > 0 {
				q = orb.Point{a[0] + (b[0]-a[0])*at/length, a[1] + (b[1]-a[1])*at/length}
			}
			away = min(away, orbgeo.Distance(p, q))
		}
	}
	return away
}

// apart is the angle between two lines in degrees.
func apart(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), 180)
	return min(d, 180-d)
}

// Notes on the map of 2018 laid on that of 2022, against the extract itself:
// what is still there is found there, what is not is listed.
func TestNewerExtract(t *testing.T) {
	old, now := network(t, indexingtest.Rutland2018), network(t, indexingtest.Rutland2022)
	ways := waysOf(t, indexingtest.Shared(t, indexingtest.Rutland2022))
	for seed := range uint64(seeds) {
		t.Logf("seed %d", seed)
		newerExtract(t, rand.New(rand.NewPCG(seed, 0)), old, now, ways)
	}
}

func newerExtract(t *testing.T, rng *rand.Rand, old, now *roadnet.Network, ways map[int64]*drawn) {
	const count = 500
	notes := make([]Note, count)
	for i := range notes {
		notes[i] = randomNote(rng, old)
		r, err := First(notes[i])
		if err != nil {
			t.Fatal(err)
		}
		notes[i] = r.Note
		notes[i].Text = "" // all differ by name
	}
	v := Match(now, Pack(notes))
	if got := len(v.All()) + len(v.Unplaced()); got != count {
		t.Fatalf("%d notes of %d are left", got, count)
	}
	placed := map[Name]Placed{}
	for _, p := range v.All() {
		placed[p.ID] = p
	}
	there, right, wrong := 0, 0, 0
	for i := range notes {
		n := &notes[i]
		heading := n.Place.Heading.Degrees()
		road := func(w *drawn) string {
			if w.tags["name"] != "" {
				return w.tags["name"]
			}
			return w.tags["ref"]
		}
		// Ways on which the note may lie, of those that the network has a road with.
		fit := map[int64]bool{}
		if w := ways[int64(n.Place.Kerb.Way)]; w != nil && len(now.PiecesOfWay(n.Place.Kerb.Way)) > 0 {
			if away := w.lies(n.Place.At, heading, 90); away <= 10 || away <= 30 && strings.EqualFold(road(w), n.Place.Road) {
				fit[w.id] = true
			}
		}
		for _, w := range ways {
			away := w.lies(n.Place.At, heading, 20)
			same := strings.EqualFold(road(w), n.Place.Road) || n.Place.Road != "" && w.tags["ref"] == n.Place.Road || n.Place.Road == "" && away <= 3
			if away <= 10 && same && len(now.PiecesOfWay(extract.WayID(w.id))) > 0 {
				fit[w.id] = true
			}
		}
		p, ok := placed[n.ID]
		if len(fit) > 0 {
			there++
		}
		switch {
		case !ok && len(fit) > 0:
			t.Logf("not found: %s on %q heading %.0f°, which has ways %v", n.Place.Kerb, n.Place.Road, heading, fit)
		case ok:
			piece := now.PieceAt(p.Stretch, p.Along)
			point, _ := now.At(roadnet.Position{Segment: p.Stretch.Segment(true), Along: p.Along})
			if !fit[int64(piece.Way)] && !onEnd(now, p, fit) || orbgeo.Distance(point, n.Place.At) > 30 {
				wrong++
				t.Errorf("on a wrong road: %s on %q lies on way %d (%q), %.1f m away", n.Place.Kerb, n.Place.Road, piece.Way, roadOf(now, piece), orbgeo.Distance(point, n.Place.At))
			} else {
				right++
			}
		}
	}
	t.Logf("%d of %d notes are on roads that are still there: %d rightly matched, %d listed, %d on a wrong road", there, count, right, len(v.Unplaced()), wrong)
	if float64(right) < 0.99*float64(there) {
		t.Errorf("%d of %d rightly matched, want 99 in 100", right, there)
	}
}

// onEnd says whether a note lies where its way meets the next.
func onEnd(n *roadnet.Network, p Placed, fit map[int64]bool) bool {
	for _, piece := range n.Pieces(p.Stretch) {
		if fit[int64(piece.Way)] && (math.Abs(float64(piece.From-p.Along)) < 1 || math.Abs(float64(piece.To-p.Along)) < 1) {
			return true
		}
	}
	return false
}

// store is an empty one in a folder of its own.
func store(t testing.TB) *Store {
	t.Helper()
	s, err := Open(filepath.Join(t.TempDir(), "notes.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

var wall = time.Date(2027, 3, 4, 9, 30, 0, 0, time.UTC)

// hundredThousand is a file with so many notes on a network.
func hundredThousand(b *testing.B, n *roadnet.Network) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "notes.db")
	s, err := Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	rng := rand.New(rand.NewPCG(1, 0))
	all := make([]Revision, 100_000)
	clock := Clock{}
	for i := range all {
		note := randomNote(rng, n)
		clock = clock.Next(wall)
		note.Clock = clock
		if all[i], err = First(note); err != nil {
			b.Fatal(err)
		}
	}
	if _, err := s.Import(all, "all.geojson", calendar.DateOf(wall)); err != nil {
		b.Fatal(err)
	}
	return path
}

// The aim is under 100 ms, on two cores of 2020 or so.
func BenchmarkOpenHundredThousand(b *testing.B) {
	n := network(b, indexingtest.Rutland2022)
	path := hundredThousand(b, n)
	for b.Loop() {
		s, err := Open(path)
		if err != nil {
			b.Fatal(err)
		}
		all, err := s.Within(n.About().Bounds)
		if err != nil {
			b.Fatal(err)
		}
		if got := len(Match(n, all).spots); got < 99_000 {
			b.Fatal(got)
		}
		s.Close()
	}
}
