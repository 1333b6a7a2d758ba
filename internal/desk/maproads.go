package desk

import (
	"crypto/sha256"
	"fmt"
	"os"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// MapRoad is a stretch as a map draws it.
type MapRoad struct {
	OnMap string // its name on the map, see Looked.Roads
	Name  string
	Class extract.Class
	Line  orb.LineString // the caller's own
}

// MapRoads visits the stretches of the wanted classes whose boxes meet a bound,
// in a fixed order.
func (d *Desk) MapRoads(b orb.Bound, want func(extract.Class) bool, visit func(MapRoad)) error {
	_, err := guarded(d, func() (struct{}, error) {
		d.net.Within(b, func(s roadnet.StretchID) bool {
			class := d.net.PieceAt(s, d.net.Length(s)/2).Attributes.Class
			if !want(class) {
				return true
			}
			name := d.net.Name(d.net.NameOf(s))
			if name == "" {
				name = d.net.RefOf(s)
			}
			visit(MapRoad{OnMap: d.keyOf(s), Name: name, Class: class, Line: d.net.Line(s.Segment(true))})
			return true
		})
		return struct{}{}, nil
	})
	return err
}

// Settlements are the named places of the map.
func (d *Desk) Settlements() []roadnet.Settlement { return d.net.Settlements() }

// digestOf tells index files apart without reading them whole: what they were
// made from, their size and when they were made.
func digestOf(path string, about roadnet.About) (string, error) {
	info, err := os.Stat(path)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(fmt.Appendf(nil, "%x %d %d %s", about.SHA256, info.Size(), info.ModTime().UnixNano(), about.Country))
	return fmt.Sprintf("%x", sum[:8]), nil
}

// Digest names the open index file.
func (d *Desk) Digest() string { return d.digest }
