// Package elevation reads heights of the ground from a folder of height files
// and gives the gradient of a road from them, each with its error.
//
//	folder of .hgt and GeoTIFF files -> Folder.At -> Profile -> Grade over 100 m
//
// Two kinds of file are read: SRTM tiles (.hgt, also in .gz and .zip) and
// GeoTIFF in longitude and latitude (EPSG:4326). A place that no file covers,
// or where a file has a void, has no height: never 0.
package elevation

import (
	"math"

	"github.com/paulmach/orb"
)

// grid is one raster of heights in longitude and latitude. Sample (0, 0) lies
// at (west, north); samples are points, so a raster whose cells are areas has
// its origin moved by half a cell when it is read.
type grid struct {
	name        string
	west, north float64 // degrees, of the first sample
	dx, dy      float64 // degrees from sample to sample, both positive
	cols, rows  int
	noise       float64 // standard deviation of one sample against its neighbours, metres
	samples     sampler
}

// sampler gives one sample; ok is false for a void.
type sampler interface {
	sample(col, row int) (height float64, ok bool, err error)
}

// covers says whether a position lies between the grid's samples.
func (g *grid) covers(p orb.Point) bool {
	x, y := g.place(p)
	return x >= 0 && y >= 0 && x <= float64(g.cols-1) && y <= float64(g.rows-1)
}

// place gives a position in samples from the first one. It is rounded to a
// millionth of a sample, so that a position on a sample is not lost to a last
// binary digit.
func (g *grid) place(p orb.Point) (x, y float64) {
	round := func(v float64) float64 { return math.Round(v*1e6) / 1e6 }
	return round((p.Lon() - g.west) / g.dx), round((g.north - p.Lat()) / g.dy)
}

// weight is one sample's part in an interpolated height.
type weight struct {
	grid     *grid
	col, row int
	share    float64
}

// bilinear interpolates between the four samples about a position; ok is false
// where one that counts is a void. Weights are appended to dst.
func (g *grid) bilinear(p orb.Point, dst []weight) (height float64, weights []weight, ok bool, err error) {
	x, y := g.place(p)
	col, row := min(int(x), g.cols-2), min(int(y), g.rows-2)
	fx, fy := x-float64(col), y-float64(row)
	for _, c := range [4]struct {
		dc, dr int
		share  float64
	}{{0, 0, (1 - fx) * (1 - fy)}, {1, 0, fx * (1 - fy)}, {0, 1, (1 - fx) * fy}, {1, 1, fx * fy}} {
		if c.share == 0 {
			continue
		}
		h, ok, err := g.samples.sample(col+c.dc, row+c.dr)
		if err != nil || !ok {
			return 0, dst, false, err
		}
		height += c.share * h
		dst = append(dst, weight{g, col + c.dc, row + c.dr, c.share})
	}
	return height, dst, true, nil
}
