package elevation

import (
	"archive/zip"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// SRTM tiles (Farr and others, "The Shuttle Radar Topography Mission", 2007):
// a square of big-endian int16 heights, north row first, whose south-west
// corner sample the name gives; a void is −32768. 3601 samples a side are one
// arc second apart, 1201 three.
const hgtVoid = -32768

// hgtNoise is the standard deviation of a sample against its neighbours, by
// spacing. One second: 2 m between neighbours at 90 % (Copernicus DEM product
// handbook) is 2 / 1.645 / √2 m each. Three seconds: our choice, 2 m, since
// published SRTM errors of 7.5 to 9.6 m are mostly shared by neighbours.
const (
	noiseOneSecond   = 0.86
	noiseThreeSecond = 2.0
)

type hgt struct {
	side int
	data []byte
}

func (h *hgt) sample(col, row int) (float64, bool, error) {
	v := int16(binary.BigEndian.Uint16(h.data[2*(row*h.side+col):]))
	return float64(v), v != hgtVoid, nil
}

// hgtCorner reads a tile's name, N43E007, in either case.
func hgtCorner(name string) (lon, lat int, ok bool) {
	name = strings.ToUpper(name)
	if len(name) < 7 || !strings.ContainsRune("NS", rune(name[0])) || !strings.ContainsRune("EW", rune(name[3])) {
		return 0, 0, false
	}
	lat, errLat := strconv.Atoi(name[1:3])
	lon, errLon := strconv.Atoi(name[4:7])
	if errLat != nil || errLon != nil || lat > 90 || lon > 180 {
		return 0, 0, false
	}
	if name[0] == 'S' {
		lat = -lat
	}
	if name[3] == 'W' {
		lon = -lon
	}
	return lon, lat, true
}

// openHGT reads a tile whole, plain or packed.
func openHGT(path string) (*grid, error) {
	base := filepath.Base(path)
	lon, lat, ok := hgtCorner(base)
	if !ok {
		return nil, fmt.Errorf("%s: the name of an .hgt file says where it lies, as N43E007.hgt does; this one does not", path)
	}
	data, err := readPacked(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	g := &grid{name: base, west: float64(lon), north: float64(lat + 1)}
	side := 0
	switch len(data) {
	case 2 * 3601 * 3601:
		side, g.noise = 3601, noiseOneSecond
	case 2 * 1201 * 1201:
		side, g.noise = 1201, noiseThreeSecond
	default:
		return nil, fmt.Errorf("%s: %d bytes are neither a tile of 3601 nor of 1201 samples a side", path, len(data))
	}
	g.cols, g.rows = side, side
	g.dx, g.dy = 1/float64(side-1), 1/float64(side-1)
	g.samples = &hgt{side, data}
	return g, nil
}

// largestHGT bounds what a packed tile may unpack to, with a byte to spare to
// tell that there is more.
const largestHGT = 2*3601*3601 + 1

func readPacked(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var r io.Reader = f
	switch strings.ToLower(filepath.Ext(path)) {
	case ".gz":
		z, err := gzip.NewReader(f)
		if err != nil {
			return nil, err
		}
		r = z
	case ".zip":
		info, err := f.Stat()
		if err != nil {
			return nil, err
		}
		z, err := zip.NewReader(f, info.Size())
		if err != nil {
			return nil, err
		}
		for _, entry := range z.File {
			if strings.EqualFold(filepath.Ext(entry.Name), ".hgt") {
				inner, err := entry.Open()
				if err != nil {
					return nil, err
				}
				defer inner.Close()
				return io.ReadAll(io.LimitReader(inner, largestHGT))
			}
		}
		return nil, fmt.Errorf("no .hgt file inside")
	}
	return io.ReadAll(io.LimitReader(r, largestHGT))
}
