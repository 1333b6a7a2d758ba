package demotown

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

// Seed is the one the shipped town is made from.
const Seed = 1066

// Write makes the town of a seed and writes its files into a folder that is
// there already. A file that is there is replaced only when it is complete.
func Write(dir string, seed uint64) error {
	t := build(seed)
	m := t.draw()
	var pbf bytes.Buffer
	if err := m.writePBF(&pbf); err != nil {
		return fmt.Errorf("write the map of the invented town: %w", err)
	}
	for name, content := range map[string][]byte{"town.osm.pbf": pbf.Bytes(), "town.svg": t.picture()} {
		if err := replace(filepath.Join(dir, name), content); err != nil {
			return err
		}
	}
	return nil
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
