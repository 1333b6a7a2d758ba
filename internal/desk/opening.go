package desk

import (
	"context"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/data"
)

// Opening asks for a map to be opened: an index file, or an extract, which is
// indexed first where its index is missing or out of date.
type Opening struct {
	Path     string
	Country  string // profile code; "" lets the position decide
	Heights  string // folder of height files; "" for none
	Progress Progress
}

// OpenMap opens a map.
func OpenMap(ctx context.Context, r Opening) (*Desk, error) {
	if strings.HasSuffix(r.Path, indexSuffix) {
		return Open(r.Path)
	}
	info, err := os.Stat(r.Path)
	if err != nil || info.IsDir() {
		return nil, fault(BadInput, "Check the path. A map file ends in .osm.pbf, .osm, .osm.gz or .osm.bz2.", "%s: there is no such file", r.Path)
	}
	for _, index := range r.indexes() {
		d, err := Open(index)
		if err != nil {
			continue // made anew below
		}
		if r.current(d, index, info) {
			return d, nil
		}
		d.Close()
	}
	made, err := Index(ctx, IndexRequest{Extract: r.Path, Country: r.Country, Heights: r.Heights, Progress: r.Progress})
	if err != nil {
		return nil, err
	}
	return Open(made.Index)
}

// indexes are where an index of the extract may lie.
func (r Opening) indexes() []string {
	beside := indexName(r.Path)
	out := []string{beside}
	if cache, err := os.UserCacheDir(); err == nil {
		stem := strings.TrimSuffix(filepath.Base(beside), indexSuffix)
		// A name with the signs of a pattern is not found there, and indexed anew.
		kept, _ := filepath.Glob(filepath.Join(cache, "loopwright", stem+"-????????"+indexSuffix))
		out = append(out, kept...)
	}
	return out
}

// current says whether an index is of this extract as it is now, and has what
// was asked for.
func (r Opening) current(d *Desk, index string, extract fs.FileInfo) bool {
	about := d.About()
	made, err := os.Stat(index)
	path, pathErr := filepath.Abs(r.Path)
	return err == nil && pathErr == nil &&
		about.ExtractPath == path && about.Size == extract.Size() && !made.ModTime().Before(extract.ModTime()) &&
		(r.Country == "" || r.Country == about.Country) && (r.Heights == "" || d.net.HasHeights())
}

// OpenDemo opens the invented town, which it keeps in the user's cache folder.
func OpenDemo(ctx context.Context, progress Progress) (*Desk, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err, Hint: "Write the town to a folder with `loopwright demo -o FOLDER`, and serve that."}
	}
	dir := filepath.Join(cache, "loopwright", "demo")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, &Fault{Kind: BadInput, Err: err, Hint: "Write the town to a folder with `loopwright demo -o FOLDER`, and serve that."}
	}
	town, err := fs.ReadFile(data.Demo, path.Join("demo", demoTown))
	if err != nil {
		return nil, err
	}
	extract := filepath.Join(dir, demoTown)
	if kept, err := os.ReadFile(extract); err != nil || !slices.Equal(kept, town) {
		if err := WriteFile(extract, town); err != nil {
			return nil, err
		}
	}
	heights, err := demoHeights(dir)
	if err != nil {
		return nil, err
	}
	return OpenMap(ctx, Opening{Path: extract, Country: demoCountry, Heights: heights, Progress: progress})
}

// Offer is a map file that lies at hand.
type Offer struct {
	Path  string `json:"path"`
	Name  string `json:"name"`
	Bytes int64  `json:"bytes"`
}

// mostOffers is as many map files as are listed: our choice.
const mostOffers = 20

// Offers lists the map files in the user's downloads folder and in the folder
// where the program was started, newest first.
func Offers() []Offer {
	var dirs []string
	if home, err := os.UserHomeDir(); err == nil {
		dirs = append(dirs, filepath.Join(home, "Downloads"))
	}
	if here, err := os.Getwd(); err == nil {
		dirs = append(dirs, here)
	}
	out := []Offer{}
	var infos []fs.FileInfo
	for _, dir := range slices.Compact(dirs) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			continue // no such folder: nothing to offer from it
		}
		for _, e := range entries {
			if info, err := e.Info(); err == nil && info.Mode().IsRegular() && isMapFile(e.Name()) {
				out = append(out, Offer{filepath.Join(dir, e.Name()), e.Name(), info.Size()})
				infos = append(infos, info)
			}
		}
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return infos[b].ModTime().Compare(infos[a].ModTime()) })
	sorted := make([]Offer, 0, len(out))
	for _, i := range order[:min(len(order), mostOffers)] {
		sorted = append(sorted, out[i])
	}
	return sorted
}

func isMapFile(name string) bool {
	for _, end := range []string{".osm.pbf", ".osm", ".osm.gz", ".osm.bz2"} {
		if strings.HasSuffix(name, end) {
			return true
		}
	}
	return false
}
