package sectionfile

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Write makes the file, or leaves what was there untouched: it writes beside
// the path, flushes to the disk, and renames. Programs that have the old file
// open keep it as it was.
func Write(path string, f Format, sections []Section) error {
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	err = encode(temp, f, sections)
	if err == nil {
		err = temp.Chmod(0o644)
	}
	if err == nil {
		err = temp.Sync()
	}
	if e := temp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(temp.Name(), path)
	}
	if err != nil {
		os.Remove(temp.Name())
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}

// encode writes header, table and sections to w, in one pass.
func encode(w io.Writer, f Format, sections []Section) error {
	if len(sections) > maxSections {
		panic(fmt.Sprintf("bug: %d sections", len(sections)))
	}
	rows := make([]row, len(sections))
	offset := uint64(headerSize + rowSize*len(sections))
	for i, s := range sections {
		if len(s.Tag) > tagSize {
			panic(fmt.Sprintf("bug: section tag %q is longer than %d bytes", s.Tag, tagSize))
		}
		offset = (offset + align - 1) / align * align
		rows[i] = row{s.Tag, offset, uint64(len(s.Data)), uint32(s.ElementSize), checksum(s.Data)}
		offset += uint64(len(s.Data))
	}
	at := uint64(0)
	put := func(b []byte) error {
		n, err := w.Write(b)
		at += uint64(n)
		return err
	}
	if err := put(encodeHead(f, offset, rows)); err != nil {
		return err
	}
	var zeros [align]byte
	for i, s := range sections {
		if err := put(zeros[:rows[i].offset-at]); err != nil {
			return err
		}
		if err := put(s.Data); err != nil {
			return err
		}
	}
	return nil
}
