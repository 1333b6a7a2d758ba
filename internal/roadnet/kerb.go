package roadnet

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
)

// Kerb is the stable name of a point at the side of a road: metres along an
// OpenStreetMap way from its first node, and the side as seen along the way.
// It outlives a new index and, while the way does, a new extract.
type Kerb struct {
	Way   extract.WayID
	Along geo.Metres
	Side  Side // Left or Right
}

// String is the name as it stands in files and addresses: "w123+45l".
func (k Kerb) String() string {
	side := "l"
	if k.Side == Right {
		side = "r"
	}
	return fmt.Sprintf("w%d+%.0f%s", k.Way, float64(k.Along), side)
}

var kerbName = regexp.MustCompile(`^w([0-9]{1,18})\+([0-9]{1,7})([lr])$`)

// ParseKerb reads a kerb's name.
func ParseKerb(name string) (Kerb, error) {
	m := kerbName.FindStringSubmatch(name)
	if m == nil {
		return Kerb{}, fmt.Errorf("%q is not the name of a kerb; one looks like w123+45l: way 123, 45 m along it, left", name)
	}
	way, err := strconv.ParseInt(m[1], 10, 64)
	if err != nil {
		return Kerb{}, fmt.Errorf("%q is not the name of a kerb: %w", name, err)
	}
	along, err := strconv.Atoi(m[2])
	if err != nil {
		return Kerb{}, fmt.Errorf("%q is not the name of a kerb: %w", name, err)
	}
	side := Left
	if m[3] == "r" {
		side = Right
	}
	return Kerb{extract.WayID(way), geo.Metres(along), side}, nil
}

// KerbAt names the kerb at a position, on the side seen in the direction of
// travel. Along is a whole number of metres, so that the name says all of it;
// it stays on the position's own piece unless that holds no whole metre.
func (n *Network) KerbAt(pos Position, side Side) Kerb {
	s := pos.Segment.Stretch()
	along := pos.Along
	if !pos.Segment.Forward() {
		along = n.Length(s) - along
		side = side.Opposite()
	}
	p := n.piece(s, n.pieceAt(s, along))
	into := max(0, min(along, p.To)-p.From)
	low, high := p.WayFrom, p.WayFrom+(p.To-p.From)
	at := low + into
	if p.Reversed {
		low, high = p.WayFrom-(p.To-p.From), p.WayFrom
		at = high - into
		side = side.Opposite()
	}
	whole := math.Round(float64(at))
	if whole < float64(low) {
		whole = math.Ceil(float64(low))
	}
	if whole > float64(high) {
		whole = math.Max(0, math.Floor(float64(high)))
	}
	return Kerb{p.Way, geo.Metres(whole), side}
}

// pastEnd is how far beyond a way's end a kerb's name may lie and still mean
// the end: the way may have been redrawn a little. Our choice.
const pastEnd geo.Metres = 5

// LocateKerb finds the kerb: the position on the segment that runs along the
// way's own direction, and the kerb's side as seen from there. Where the
// network has no stretch at those metres (a stub, a cut), the nearest of the
// way within 5 m serves.
func (n *Network) LocateKerb(k Kerb) (Position, Side, error) {
	c := &n.c
	order := c.PieceByWay
	first := sort.Search(len(order), func(i int) bool { return c.PieceWay[order[i]] >= int64(k.Way) })
	best, bestAway, bestAlong := PieceID(None), geo.Metres(math.Inf(1)), geo.Metres(0)
	end := geo.Metres(0)
	for i := first; i < len(order) && c.PieceWay[order[i]] == int64(k.Way); i++ {
		p := order[i]
		low, high := millimetres(c.pieceLow(p)), millimetres(c.pieceHigh(p))
		at := min(max(k.Along, low), high)
		if away := geo.Metres(math.Abs(float64(at - k.Along))); away < bestAway {
			best, bestAway, bestAlong = p, away, at
		}
		end = max(end, high)
	}
	if best == PieceID(None) {
		return Position{}, SideUnknown, fmt.Errorf("kerb %s: the index has no road with way %d", k, k.Way)
	}
	if bestAway > pastEnd {
		return Position{}, SideUnknown, fmt.Errorf("kerb %s: way %d has no road at %.0f m; it ends at %.0f m", k, k.Way, float64(k.Along), float64(end))
	}
	s := c.stretchOf(best)
	piece := n.piece(s, best)
	if piece.Reversed {
		along := piece.From + (piece.WayFrom - bestAlong)
		return Position{s.Segment(false), n.Length(s) - along}, k.Side, nil
	}
	return Position{s.Segment(true), piece.From + (bestAlong - piece.WayFrom)}, k.Side, nil
}

// stretchOf is the stretch that a piece belongs to.
func (c *Columns) stretchOf(p PieceID) StretchID {
	return StretchID(sort.Search(len(c.StretchTail), func(s int) bool { return c.PieceStart[s+1] > uint32(p) }))
}

// pieceLow and pieceHigh are the least and greatest millimetres along the way
// that a piece covers.
func (c *Columns) pieceLow(p PieceID) uint32 {
	if c.PieceReversed[p] == 0 {
		return c.PieceWayFromMm[p]
	}
	return c.PieceWayFromMm[p] - min(c.PieceWayFromMm[p], c.pieceLength(p))
}

func (c *Columns) pieceHigh(p PieceID) uint32 {
	if c.PieceReversed[p] != 0 {
		return c.PieceWayFromMm[p]
	}
	return c.PieceWayFromMm[p] + c.pieceLength(p)
}

func (c *Columns) pieceLength(p PieceID) uint32 {
	return c.pieceTo(c.stretchOf(p), p) - c.PieceFromMm[p]
}

// WayPiece is where a part of a way lies on a network.
type WayPiece struct {
	Stretch   StretchID
	From      geo.Metres // along the stretch, where the part begins
	Low, High geo.Metres // along the way
	Reversed  bool       // the stretch runs against the way
}

// PiecesOfWay gives the parts of a way that the network has, by the metres
// along it, a fresh slice; none where it has no road with the way.
func (n *Network) PiecesOfWay(w extract.WayID) []WayPiece {
	c := &n.c
	order := c.PieceByWay
	var out []WayPiece
	for i := sort.Search(len(order), func(i int) bool { return c.PieceWay[order[i]] >= int64(w) }); i < len(order) && c.PieceWay[order[i]] == int64(w); i++ {
		p := order[i]
		out = append(out, WayPiece{c.stretchOf(p), millimetres(c.PieceFromMm[p]), millimetres(c.pieceLow(p)), millimetres(c.pieceHigh(p)), c.PieceReversed[p] != 0})
	}
	return out
}
