package demotown

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"path/filepath"
)

// Seed is the one the shipped town is made from.
const Seed = 1066

// Names of the files that Write makes. The people and their lesson requests
// stand beside them, written by hand.
const (
	MapFile     = "town.osm.pbf"
	HeightsFile = "heights/town.tif"
	TruthFile   = "truth.csv.gz"
	PictureFile = "town.svg"
)

// Write makes the town of a seed and writes its files into a folder that is
// there already. A file that is there is replaced only when it is complete.
func Write(dir string, seed uint64) error {
	files, err := Generate(seed)
	if err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("write the invented town: %w", err)
		}
		if err := replace(path, f.Content); err != nil {
			return fmt.Errorf("write the invented town: %w", err)
		}
	}
	return nil
}

// File is one file of the town, its name with slashes.
type File struct {
	Name    string
	Content []byte
}

// Generate makes the files of the town of a seed, the same bytes every time.
func Generate(seed uint64) ([]File, error) {
	t := build(seed)
	m := t.draw()
	var pbf, truth bytes.Buffer
	if err := m.writePBF(&pbf); err != nil {
		return nil, fmt.Errorf("write the map of the invented town: %w", err)
	}
	z, err := gzip.NewWriterLevel(&truth, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if err := writeTruth(z, t.records()); err != nil {
		return nil, fmt.Errorf("write the truth of the invented town: %w", err)
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	heights, err := writeHeights(heightGrid(t.stream("heights")))
	if err != nil {
		return nil, fmt.Errorf("write the heights of the invented town: %w", err)
	}
	return []File{{MapFile, pbf.Bytes()}, {HeightsFile, heights}, {TruthFile, truth.Bytes()}, {PictureFile, t.picture()}}, nil
}

// replace puts a whole file in the place of an old one.
func replace(path string, content []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".demotown-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(content); err != nil {
		f.Close()
		return err
	}
	if err := f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
