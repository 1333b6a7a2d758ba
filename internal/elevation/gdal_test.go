package elevation

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

const shared = "../../../shared/extracts"

// gdal runs one of GDAL's programs (Debian's gdal-bin), the reference here for
// reading rasters.
func gdal(t *testing.T, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed (Debian package gdal-bin)", name)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v: %s", name, args, err, out)
	}
	return string(out)
}

func sharedTile(t *testing.T) string {
	t.Helper()
	tile := filepath.Join(shared, "N43E007.hgt")
	if _, err := os.Stat(tile); err != nil {
		t.Skip("no N43E007.hgt in ../shared/extracts")
	}
	return tile
}

func folderWith(t *testing.T, files ...string) *Folder {
	t.Helper()
	dir := t.TempDir()
	for _, f := range files {
		if err := os.Symlink(f, filepath.Join(dir, filepath.Base(f))); err != nil {
			t.Fatal(err)
		}
	}
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// gdalwarp resamples the tile bilinearly to 40 by 25 pixels, smaller than the
// tile's own, since it averages more widely where they are larger; each pixel's
// middle is a point at which both are asked. Points with a void among their
// four samples are left out, where GDAL makes do with the others and we say
// that the height is unknown.
func TestHeightsEqualGDAL(t *testing.T) {
	tile, err := filepath.Abs(sharedTile(t))
	if err != nil {
		t.Fatal(err)
	}
	f := folderWith(t, tile)
	points := 0
	for _, box := range [][4]float64{{7.401, 43.721, 7.421, 43.7335}, {7.1, 43.9, 7.12, 43.9125}} {
		warped := filepath.Join(t.TempDir(), "w.tif")
		gdal(t, "gdalwarp", "-q", "-r", "bilinear", "-ot", "Float32", "-et", "0",
			"-te", fmt.Sprint(box[0]), fmt.Sprint(box[1]), fmt.Sprint(box[2]), fmt.Sprint(box[3]), "-ts", "40", "25", tile, warped)
		xyz := filepath.Join(t.TempDir(), "w.xyz")
		gdal(t, "gdal_translate", "-q", "-of", "XYZ", warped, xyz)
		data, err := os.ReadFile(xyz)
		if err != nil {
			t.Fatal(err)
		}
		for s := bufio.NewScanner(bytes.NewReader(data)); s.Scan(); {
			var lon, lat, want float64
			if _, err := fmt.Sscan(s.Text(), &lon, &lat, &want); err != nil {
				t.Fatal(err)
			}
			got, ok, err := f.At(orb.Point{lon, lat})
			if err != nil {
				t.Fatal(err)
			}
			if !ok {
				continue
			}
			points++
			if math.Abs(got-want) > 0.01 {
				t.Errorf("At(%v, %v) = %.3f, GDAL %.3f", lat, lon, got, want)
			}
		}
	}
	t.Logf("%d points compared", points)
	if points < 1000 {
		t.Errorf("%d points compared, want 1000", points)
	}
}

// Every kind of GeoTIFF that GDAL writes and we say we read gives the heights
// of the tile it was made from, and the other kinds are refused.
func TestGeoTIFFVariants(t *testing.T) {
	tile, err := filepath.Abs(sharedTile(t))
	if err != nil {
		t.Fatal(err)
	}
	want := folderWith(t, tile)
	rng := rand.New(rand.NewPCG(*seed, 1))
	var at []orb.Point
	for range 300 {
		at = append(at, orb.Point{7.3 + 0.29*rng.Float64(), 43.61 + 0.28*rng.Float64()})
	}
	window := []string{"-q", "-projwin", "7.25", "43.95", "7.65", "43.55"}
	for _, kind := range []string{"Int16", "Float32"} {
		for _, packing := range []string{"NONE", "DEFLATE", "LZW"} {
			for predictor := 1; predictor <= 3; predictor++ {
				if predictor == 3 && kind == "Int16" || predictor > 1 && packing == "NONE" {
					continue
				}
				for _, layout := range []string{"TILED=YES", "TILED=NO"} {
					for _, order := range []string{"LITTLE", "BIG"} {
						if predictor == 3 && order == "BIG" {
							continue // GDAL 3.6 itself reads back other heights than it wrote
						}
						out := filepath.Join(t.TempDir(), "v.tif")
						args := append([]string{}, window...)
						args = append(args, "-ot", kind, "-co", "COMPRESS="+packing, "-co", layout, "-co", "ENDIANNESS="+order)
						if packing != "NONE" {
							args = append(args, "-co", fmt.Sprintf("PREDICTOR=%d", predictor))
						}
						if layout == "TILED=NO" {
							args = append(args, "-co", "BLOCKYSIZE=7")
						}
						gdal(t, "gdal_translate", append(args, tile, out)...)
						name := strings.Join([]string{kind, packing, fmt.Sprint(predictor), layout, order}, " ")
						g := folderWith(t, out)
						known := 0
						for _, p := range at {
							h, ok, err := g.At(p)
							if err != nil {
								t.Fatalf("%s: %v", name, err)
							}
							w, wok, _ := want.At(p)
							if ok != wok || ok && math.Abs(h-w) > 0.001 {
								t.Fatalf("%s: At(%v) = %v %v, want %v %v", name, p, h, ok, w, wok)
							}
							if ok {
								known++
							}
						}
						if known < 250 {
							t.Fatalf("%s: %d heights known of %d", name, known, len(at))
						}
					}
				}
			}
		}
	}
	for name, args := range map[string][]string{
		"bytes":       {"-ot", "Byte"},
		"doubles":     {"-ot", "Float64"},
		"LZMA":        {"-co", "COMPRESS=LZMA"},
		"BigTIFF":     {"-co", "BIGTIFF=YES"},
		"no position": {"-co", "PROFILE=BASELINE"},
		"another CRS": {"-a_srs", "EPSG:3857"},
	} {
		out := filepath.Join(t.TempDir(), "v.tif")
		gdal(t, "gdal_translate", append(append(append([]string{}, window...), args...), tile, out)...)
		g, err := openTIFF(out)
		if err == nil {
			t.Errorf("%s: read as %v, want a refusal", name, g)
		} else if !strings.Contains(err.Error(), out) || strings.Count(err.Error(), "\n") > 0 {
			t.Errorf("%s: %v, want one sentence that names the file", name, err)
		}
	}
}

// Packed tiles read as the plain one.
func TestPackedTiles(t *testing.T) {
	tile := sharedTile(t)
	data, err := os.ReadFile(tile)
	if err != nil {
		t.Fatal(err)
	}
	abs, err := filepath.Abs(tile)
	if err != nil {
		t.Fatal(err)
	}
	p := orb.Point{7.42, 43.74}
	want, ok, err := folderWith(t, abs).At(p)
	if err != nil || !ok {
		t.Fatalf("plain: %v %v %v", want, ok, err)
	}
	for name, pack := range map[string]func(io.Writer) error{
		"n43e007.hgt.gz": func(w io.Writer) error {
			z := gzip.NewWriter(w)
			_, err := z.Write(data)
			return errors.Join(err, z.Close())
		},
		"N43E007.hgt.zip": func(w io.Writer) error {
			z := zip.NewWriter(w)
			inner, err := z.Create("N43E007.hgt")
			if err != nil {
				return err
			}
			_, err = inner.Write(data)
			return errors.Join(err, z.Close())
		},
	} {
		var packed bytes.Buffer
		if err := pack(&packed); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, packed.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		if got, ok, err := folderWith(t, path).At(p); err != nil || !ok || got != want {
			t.Errorf("%s: %v %v %v, plain %v", name, got, ok, err, want)
		}
	}
}

// The tile has four voids; about each, the height is unknown and not 0.
func TestVoidsAreUnknown(t *testing.T) {
	tile := sharedTile(t)
	g, err := openHGT(tile)
	if err != nil {
		t.Fatal(err)
	}
	voids := 0
	for row := range g.rows {
		for col := range g.cols {
			if _, ok, _ := g.samples.sample(col, row); ok {
				continue
			}
			voids++
			p := orb.Point{g.west + (float64(col)+0.3)*g.dx, g.north - (float64(row)+0.3)*g.dy}
			if !g.covers(p) {
				continue
			}
			if h, _, ok, _ := g.bilinear(p, nil); ok {
				t.Errorf("beside the void at %d, %d: %v", col, row, h)
			}
		}
	}
	if voids != 4 {
		t.Errorf("%d voids, want the 4 that the tile has", voids)
	}
}
