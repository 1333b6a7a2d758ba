package assess

import (
	"math"
	"sync"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// Who lives along a road says how many cars stand there, and most maps tell of
// it in patches: whole quarters without a house on the map beside others that
// are complete. So of a kerb with h homes on the map two things are asked of the
// streets round it: how many, N, a kerb of its length would have there; and how
// likely it is that its map lacks some,
//
//	P(some lack | h) = u U(h) / (u U(h) + (1 − u) M(h))
//
// by Bayes' rule, with u the share of streets round it of which none is mapped.
// If some lack, any number up to N is as likely, U(h) = 1/N, and none is certain
// where the whole street is bare; if none lack, M(h) is lognormal about N, and
// none has a chance of its own that falls with the length.
//
// Both are means over the residential streets round it, the nearer the more,
// drawn towards the whole extract's as if priorKerb of such a street lay there
// too. N goes by the fuller side of each: the other may be mapped in part.
//
// The fades were chosen on the map of an English county: of its streets with and
// without homes they foretold best, by the likelihood, which have none mapped,
// and by their logarithms how many the others have, among 30 to 250 m.
const (
	bareFade  = 100.0 // metres over which a neighbour's weight falls to a third
	homesFade = 200.0 // the same for homes to the metre
	priorKerb = 50.0  // metres
)

const (
	homesSquare = 100.0 // metres
	nearHomes   = 5     // squares to each side
	blockSide   = 16    // squares of a block, more than are asked at once
	behindHomes = 0.65  // of a kerb that homes take: our choice, a third is corners, gaps and side walls
	priorLived  = 1000  // metres of the table's usual street that count beside the extract's own
	oneIn       = 16    // of the extract's streets, told for all
)

// livedKerbs are the residential kerbs of a network by square. A block of
// squares is gathered when it is first asked about; all forks share it.
type livedKerbs struct {
	mu     sync.Mutex
	plane  geo.Plane
	blocks map[[2]int]*kerbBlock
	bare   float64 // share of bare streets, over the extract
	usual  float64 // square of the homes to the metre of a side, over the extract
}

type kerbBlock [blockSide][blockSide]kerbs

// kerbs is what the residential streets of a square hold.
type kerbs struct {
	bare, lived float64 // metres of streets without mapped homes, and with
	long, crowd float64 // of the latter, metres, and over these the square of the homes to the metre of the fuller side
}

func (k *kerbs) add(o kerbs, bare, homes float64) {
	k.bare += bare * o.bare
	k.lived += bare * o.lived
	k.long += homes * o.long
	k.crowd += homes * o.crowd
}

func livedIn(n *roadnet.Network, sp *spreads) *livedKerbs {
	l := &livedKerbs{plane: geo.PlaneAt(n.About().Bounds.Center()), blocks: make(map[[2]int]*kerbBlock), bare: 1}
	var all kerbs
	for s := 0; s < n.NumStretches(); s += oneIn {
		all.add(kerbsOf(n, roadnet.StretchID(s)), 1, 1)
	}
	if all.bare+all.lived > 0 {
		l.bare = all.bare / (all.bare + all.lived)
	}
	of := sp.HomesPerKm / 2000
	l.usual = (all.crowd + of*of*priorLived) / (all.long + priorLived)
	return l
}

// block gives the squares of a block.
func (l *livedKerbs) block(n *roadnet.Network, at [2]int) *kerbBlock {
	l.mu.Lock()
	defer l.mu.Unlock()
	if b := l.blocks[at]; b != nil {
		return b
	}
	const side, more = blockSide * homesSquare, 20 // metres; more for what rounding does to a middle
	corner := func(i int, out float64) geo.XY {
		return geo.XY{X: side*float64(at[0]+i) + out, Y: side*float64(at[1]+i) + out}
	}
	b := new(kerbBlock)
	n.Within(orb.Bound{Min: l.plane.From(corner(0, -more)), Max: l.plane.From(corner(1, more))}, func(s roadnet.StretchID) bool {
		q := l.square(n, s)
		if x, y := q[0]-at[0]*blockSide, q[1]-at[1]*blockSide; x >= 0 && y >= 0 && x < blockSide && y < blockSide {
			b[x][y].add(kerbsOf(n, s), 1, 1)
		}
		return true
	})
	l.blocks[at] = b
	return b
}

// square is the one that holds the middle between the ends of a stretch.
func (l *livedKerbs) square(n *roadnet.Network, s roadnet.StretchID) [2]int {
	on := s.Segment(true)
	p := l.plane.To(n.NodeAt(n.Tail(on))).Add(l.plane.To(n.NodeAt(n.Head(on)))).Scale(0.5 / homesSquare)
	return [2]int{int(math.Floor(p.X)), int(math.Floor(p.Y))}
}

// around adds up the kerbs about a square, the nearer the more.
func (l *livedKerbs) around(n *roadnet.Network, at [2]int) (sum kerbs) {
	var last [2]int
	var in *kerbBlock
	for x := at[0] - nearHomes; x <= at[0]+nearHomes; x++ {
		for y := at[1] - nearHomes; y <= at[1]+nearHomes; y++ {
			b := [2]int{floorDiv(x, blockSide), floorDiv(y, blockSide)}
			if in == nil || b != last {
				in, last = l.block(n, b), b
			}
			w := &fades[abs(x-at[0])][abs(y-at[1])]
			sum.add(in[x-b[0]*blockSide][y-b[1]*blockSide], w[0], w[1])
		}
	}
	return sum
}

// fades are the weights of a square for bare kerb and for homes, by how many
// squares east or west and north or south it lies.
var fades = func() (w [nearHomes + 1][nearHomes + 1][2]float64) {
	for x := range w {
		for y := range w[x] {
			d := homesSquare * math.Hypot(float64(x), float64(y))
			w[x][y] = [2]float64{math.Exp(-d / bareFade), math.Exp(-d / homesFade)}
		}
	}
	return w
}()

func floorDiv(a, b int) int { return int(math.Floor(float64(a) / float64(b))) }

func abs(x int) int { return max(x, -x) }

// kerbsOf is what one stretch adds: nothing where people do not live along it as
// a matter of course.
func kerbsOf(n *roadnet.Network, s roadnet.StretchID) kerbs {
	long := float64(n.Length(s))
	if long <= 0 || !livedAlong(n.PieceAt(s, n.Length(s)/2).Attributes.Class) {
		return kerbs{}
	}
	fuller := max(n.HomesOn(s, roadnet.Left), n.HomesOn(s, roadnet.Right))
	if fuller == 0 {
		return kerbs{bare: long}
	}
	return kerbs{lived: long, long: long, crowd: float64(fuller*fuller) / long}
}

func livedAlong(c extract.Class) bool { return c == extract.Residential || c == extract.LivingStreet }

// neighbourhood is what the kerbs of a stretch and those round it tell of its
// homes.
type neighbourhood struct {
	unmapped float64 // share of streets of which no home is mapped; the stretch's own does not count
	homes    float64 // to the metre of a side
	rests    float64 // metres of streets with mapped homes on which that rests
}

// front is how wide the fronts of the homes are, metres.
func (h neighbourhood) front() float64 { return behindHomes / h.homes }

func (a *Assessor) neighbourhood(s roadnet.StretchID) neighbourhood {
	if h := &a.site.beside.homes; h.looked && a.site.stretch == s {
		return h.round
	}
	l := a.lived
	sum, own := l.around(a.net, l.square(a.net, s)), kerbsOf(a.net, s)
	sum.bare, sum.lived = sum.bare-own.bare, sum.lived-own.lived
	return neighbourhood{
		unmapped: (sum.bare + l.bare*priorKerb) / (sum.bare + sum.lived + priorKerb),
		homes:    math.Sqrt((sum.crowd + l.usual*priorKerb) / (sum.long + priorKerb)),
		rests:    sum.long,
	}
}

// homes are the homes along a stretch, on its left and right.
type homes struct {
	looked bool // the rest is this stretch's
	round  neighbourhood
	mapped [2]float64
	lived  [2]float64 // how many there are if some are not mapped
	all    [2]float64 // chance that those mapped are all
	room   float64    // share of them that have room for a car off the road
}

// homes are counted when first asked for.
func (a *Assessor) homes(st *site) *homes {
	b, s, sp := &st.beside.homes, st.stretch, &a.table.spreads
	if b.looked {
		return b
	}
	h := a.neighbourhood(s)
	b.looked, b.round = true, h
	b.mapped = [2]float64{float64(a.net.HomesOn(s, roadnet.Left)), float64(a.net.HomesOn(s, roadnet.Right))}
	b.lived, b.all = b.mapped, [2]float64{1, 1}
	b.room = (h.rests*shareAt(a.table.roomByFront, h.front()) + priorKerb*sp.SpaceUnsaid) / (h.rests + priorKerb)
	at := a.net.PieceAt(s, st.length/2).Attributes
	if at.Class <= extract.Trunk || at.LimitLowDkmh[0] > builtUpLimitDkmh {
		return b
	}
	expected, lacking := h.homes*float64(st.length), max(h.unmapped-sp.BareLong, 0)/(1-sp.BareLong)
	none := shareAt([]point{{at: 40, share: sp.BareShort}, {at: 100, share: sp.BareLong}}, float64(st.length))
	if !livedAlong(at.Class) {
		expected, none = expected/2, sp.BareOther
	}
	if b.mapped[0]+b.mapped[1] > 0 {
		lacking = max(lacking, sp.SideUnmapped)
		none = shareAt([]point{{at: 40, share: sp.BareSideShort}, {at: 100, share: sp.BareSideLong}}, float64(st.length))
	}
	for i, homes := range b.mapped {
		if homes >= expected || lacking == 0 {
			continue
		}
		complete, some := none, 1.0
		if homes > 0 {
			z := math.Log(homes/expected) / sp.HomesSpread
			complete, some = math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)/(sp.HomesSpread*homes), 1/expected
		}
		b.lived[i] = expected
		b.all[i] = (1 - lacking) * complete / (lacking*some + (1-lacking)*complete)
	}
	return b
}

// builtUpLimitDkmh is 60 km/h, in tenths: a road with a higher limit is not
// built up. Our choice, above 30 and 50 and below the open country's limits.
const builtUpLimitDkmh = 600

// usualWidth is the usual carriageway of a stretch of a class; of a residential
// street by the fronts of its homes, as far as they are known.
func (a *Assessor) usualWidth(s roadnet.StretchID, c extract.Class) country.Spread {
	usual := a.profile.Carriageway[classNames[c].tag]
	if c != extract.Residential || len(a.profile.Fronts) == 0 {
		return usual
	}
	h := a.neighbourhood(s)
	by, u := a.profile.Residential(geo.Metres(h.front())), geo.Metres(h.rests/(h.rests+priorKerb))
	return country.Spread{Mean: usual.Mean + u*(by.Mean-usual.Mean), SD: usual.SD + u*(by.SD-usual.SD)}
}
