package desk

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"loopwright/internal/country"
	"loopwright/internal/elevation"
	"loopwright/internal/extract"
	"loopwright/internal/indexing"
	"loopwright/internal/roadnet"
	"loopwright/internal/traffic"
)

// Progress is told how far long work has come; it may be nil.
type Progress func(stage string, done, total int64)

// IndexRequest asks for the index of one extract.
type IndexRequest struct {
	Extract  string // path
	Out      string // path; "" lies beside the extract, or in the cache folder
	Country  string // profile code; "" lets the position decide
	Heights  string // folder of height files; "" for none
	NoQuiet  bool   // leave out how quiet the roads are
	Workers  int    // 0 is all cores
	Progress Progress
}

// Indexed says what was made.
type Indexed struct {
	Index     string         `json:"index"`
	Extract   string         `json:"extract"`
	Country   string         `json:"country"`
	Timestamp *time.Time     `json:"data_timestamp"` // nil where the extract does not say
	Counts    extract.Counts `json:"counts"`
	Stretches int            `json:"stretches"`
	Junctions int            `json:"junctions"`
	Heights   bool           `json:"heights"`
	Quiet     bool           `json:"quiet"`    // how quiet the roads are is in it
	NotRead   []NotRead      `json:"not_read"` // values that could not be read, commonest first
	Missing   int64          `json:"missing_nodes"`
	CutWays   int64          `json:"cut_ways"`
}

// NotRead is a kind of value that was not understood and so not used.
type NotRead struct {
	Key     string `json:"key"`
	Value   string `json:"value"`
	Count   int64  `json:"count"`
	Example string `json:"example"`
}

// indexSuffix ends the name of an index file.
const indexSuffix = ".idx"

// Index reads an extract, builds its network and writes the index file.
func Index(ctx context.Context, r IndexRequest) (*Indexed, error) {
	if _, err := os.Stat(r.Extract); errors.Is(err, fs.ErrNotExist) {
		return nil, fault(BadInput, "Check the path. A map extract ends in .osm.pbf, .osm, .osm.gz or .osm.bz2.", "%s: there is no such file", r.Extract)
	}
	profile, err := profileFor(ctx, r)
	if err != nil {
		return nil, err
	}
	stage := func(name string) func(done, total int64) {
		if r.Progress == nil {
			return nil
		}
		return func(done, total int64) { r.Progress(name, done, total) }
	}
	x, err := extract.Read(ctx, r.Extract, extract.Options{Profile: profile, Workers: r.Workers, Progress: stage("reading the map")})
	if err != nil {
		return nil, badInput(ctx, err)
	}
	path, err := filepath.Abs(r.Extract)
	if err != nil {
		return nil, err
	}
	net, err := indexing.Build(ctx, x, profile, indexing.Options{Workers: r.Workers, ExtractPath: path})
	if err != nil {
		return nil, badInput(ctx, err)
	}
	if r.Heights != "" {
		if net, err = addHeights(ctx, net, r, stage("taking heights")); err != nil {
			return nil, err
		}
	}
	out, err := writeIndex(net, r)
	if err != nil || r.NoQuiet {
		return indexed(net, out), err
	}
	// The index can be used from here on; how quiet the roads are is joined to it.
	quiet, err := measureQuiet(net, profile, r.Workers)
	if err != nil {
		return nil, err
	}
	r.Out = out
	if _, err := writeIndex(quiet, r); err != nil {
		return nil, err
	}
	return indexed(quiet, out), nil
}

func addHeights(ctx context.Context, net *roadnet.Network, r IndexRequest, progress func(done, total int64)) (*roadnet.Network, error) {
	if progress != nil {
		progress(0, 1)
	}
	ground, err := elevation.Open(r.Heights)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err, Hint: "--heights takes a folder of .hgt files or of GeoTIFF files in EPSG:4326."}
	}
	defer ground.Close()
	net, err = indexing.AddHeights(ctx, net, ground, r.Workers)
	if err != nil {
		return nil, badInput(ctx, err)
	}
	return net, nil
}

// quietStage is the pace at which traffic is measured: other drivers, not a
// beginner.
const quietStage = "near-test"

func measureQuiet(net *roadnet.Network, p *country.Profile, workers int) (*roadnet.Network, error) {
	weights, err := weightsAt(net, p, quietStage)
	if err != nil {
		return nil, err
	}
	q := traffic.Measure(net, weights, traffic.FactsOf(net), workers)
	return net.WithTraffic(q.Encode()), nil
}

// badInput wraps a fault of the extract; a cancelled run stays what it is.
func badInput(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return &Fault{Kind: BadInput, Err: err}
}

// profileFor finds the country by code or by position; it is never guessed.
func profileFor(ctx context.Context, r IndexRequest) (*country.Profile, error) {
	if r.Country != "" {
		p, err := country.ByCode(r.Country)
		if err != nil {
			return nil, &Fault{Kind: WrongUse, Err: err}
		}
		return p, nil
	}
	b, err := extract.Bounds(ctx, r.Extract)
	if err != nil {
		return nil, badInput(ctx, err)
	}
	found := country.Locate(b)
	if len(found) == 1 {
		return found[0], nil
	}
	codes := make([]string, 0, len(found))
	for _, p := range found {
		codes = append(codes, p.Code)
	}
	c := b.Center()
	where := fmt.Sprintf("%.2f,%.2f", c.Lat(), c.Lon())
	hint := "Say --country gb, ie, de or us; elsewhere --country left or --country right, for the side driven on."
	if len(codes) == 0 {
		return nil, fault(WrongUse, hint, "%s: no country of the table lies at %s", r.Extract, where)
	}
	return nil, fault(WrongUse, hint, "%s: at %s it may be %s", r.Extract, where, strings.Join(codes, " or "))
}

// writeIndex writes where asked, else beside the extract, else, where that
// folder can't be written, into the user's cache folder.
func writeIndex(net *roadnet.Network, r IndexRequest) (string, error) {
	if r.Out != "" {
		if err := roadnet.Write(r.Out, net); err != nil {
			return "", &Fault{Kind: BadInput, Err: err, Hint: "Name another file with -o."}
		}
		return r.Out, nil
	}
	beside := indexName(r.Extract)
	err := roadnet.Write(beside, net)
	if err == nil {
		return beside, nil
	}
	if !errors.Is(err, fs.ErrPermission) && !isReadOnly(err) {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Name another file with -o."}
	}
	cache, cacheErr := os.UserCacheDir()
	if cacheErr != nil {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Name a file that can be written with -o."}
	}
	dir := filepath.Join(cache, "loopwright")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Name a file that can be written with -o."}
	}
	sum := net.About().SHA256
	out := filepath.Join(dir, fmt.Sprintf("%s-%x%s", strings.TrimSuffix(filepath.Base(beside), indexSuffix), sum[:4], indexSuffix))
	if err := roadnet.Write(out, net); err != nil {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Name a file that can be written with -o."}
	}
	return out, nil
}

// indexName is the extract's name with its ending replaced.
func indexName(extract string) string {
	base := extract
	for _, end := range []string{".pbf", ".gz", ".bz2", ".osm"} {
		base = strings.TrimSuffix(base, end)
	}
	return base + indexSuffix
}

func indexed(net *roadnet.Network, path string) *Indexed {
	a := net.About()
	out := &Indexed{
		Index: path, Extract: a.Extract, Country: a.Country, Counts: a.Report.Counts,
		Stretches: net.NumStretches(), Junctions: net.NumJunctions(),
		Missing: a.Report.MissingNodes, CutWays: a.Report.BrokenWays,
		NotRead: []NotRead{}, Heights: net.HasHeights(), Quiet: len(net.Traffic()) > 0,
	}
	if !a.Timestamp.IsZero() {
		out.Timestamp = &a.Timestamp
	}
	for _, p := range a.Report.Problems {
		out.NotRead = append(out.NotRead, NotRead(p))
	}
	return out
}
