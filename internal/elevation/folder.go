package elevation

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"
)

// Folder is a folder of height files. Tiles are opened when a position first
// falls on them. Safe for use by several at once; positions are answered alike
// in any order.
type Folder struct {
	dir   string
	mu    sync.Mutex
	tiles []*tile // finest first, then by name
}

// tile is one file, opened at most once.
type tile struct {
	path string
	grid *grid
	err  error
	// corner of an .hgt file not opened yet
	hgt      bool
	lon, lat int
}

// Open lists a folder. GeoTIFF files are looked into at once, since only they
// know where they lie; files of other kinds are left alone. A folder without
// any height file is an error.
func Open(dir string) (*Folder, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	f := &Folder{dir: dir}
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		t := &tile{path: filepath.Join(dir, e.Name())}
		switch {
		case e.IsDir():
			continue
		case strings.HasSuffix(name, ".hgt"), strings.HasSuffix(name, ".hgt.gz"), strings.HasSuffix(name, ".hgt.zip"):
			var ok bool
			if t.lon, t.lat, ok = hgtCorner(e.Name()); !ok {
				return nil, fmt.Errorf("%s: the name of an .hgt file says where it lies, as N43E007.hgt does; this one does not", t.path)
			}
			t.hgt = true
		case strings.HasSuffix(name, ".tif"), strings.HasSuffix(name, ".tiff"):
			if t.grid, err = openTIFF(t.path); err != nil {
				return nil, err
			}
		default:
			continue
		}
		f.tiles = append(f.tiles, t)
	}
	if len(f.tiles) == 0 {
		return nil, fmt.Errorf("%s: no height files (.hgt, .hgt.gz, .hgt.zip, .tif)", dir)
	}
	slices.SortStableFunc(f.tiles, func(a, b *tile) int { return strings.Compare(a.path, b.path) })
	return f, nil
}

// Close lets go of the files.
func (f *Folder) Close() error {
	var all []error
	for _, t := range f.tiles {
		if t.grid == nil {
			continue
		}
		if b, ok := t.grid.samples.(*blocks); ok {
			if c, ok := b.file.(*os.File); ok {
				all = append(all, c.Close())
			}
		}
	}
	return errors.Join(all...)
}

// grids gives the tiles that cover a position, in the folder's order.
func (f *Folder) grids(p orb.Point) ([]*grid, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []*grid
	for _, t := range f.tiles {
		if t.hgt {
			x, y := p.Lon()-float64(t.lon), p.Lat()-float64(t.lat)
			if x < 0 || y < 0 || x > 1 || y > 1 {
				continue
			}
			if t.grid == nil && t.err == nil {
				t.grid, t.err = openHGT(t.path)
			}
		}
		if t.err != nil {
			return nil, t.err
		}
		if t.grid.covers(p) {
			out = append(out, t.grid)
		}
	}
	return out, nil
}

// At gives the height of the ground in metres. ok is false where no file
// covers the position, or each that does has a void there.
func (f *Folder) At(p orb.Point) (height float64, ok bool, err error) {
	h, _, ok, err := f.at(p, nil)
	return h, ok, err
}

func (f *Folder) at(p orb.Point, dst []weight) (float64, []weight, bool, error) {
	grids, err := f.grids(p)
	if err != nil {
		return 0, dst, false, err
	}
	for _, g := range grids {
		h, w, ok, err := g.bilinear(p, dst)
		if err != nil {
			return 0, dst, false, fmt.Errorf("%s: %w", g.name, err)
		}
		if ok {
			return h, w, true, nil
		}
	}
	return 0, dst, false, nil
}
