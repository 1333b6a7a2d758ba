package sectionfile

import (
	"fmt"
	"io"
	"os"
	"runtime/debug"
)

// readBelow is the size up to which a file is read into memory and verified
// whole at each opening. Larger ones are mapped. Our choice: reading and
// checking 8 MiB takes a few milliseconds, and such a file covers a county.
const readBelow = 8 << 20

// File is an open file. It is safe for concurrent use until Close.
type File struct {
	path     string
	data     []byte
	mapped   bool
	rows     []row
	crc      uint32
	identity string // what the stamp compares: size, time of change, checksum
}

// Open reads header and table and checks them. The sections' own checksums are
// Verify's business.
func Open(path string, f Format) (*File, error) {
	if !littleEndian {
		return nil, fmt.Errorf("open %s: this machine stores numbers big end first, and the file's columns are read where they lie", path)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err // names path and what was being done
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("open %s: %w: it is no ordinary file", path, ErrNotOurs)
	}
	out := &File{path: path}
	if err := out.load(file, info.Size()); err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	err = out.guard(func() error {
		var err error
		out.rows, out.crc, err = decodeHead(f, out.data, uint64(len(out.data)))
		return err
	})
	if err != nil {
		out.Close()
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	out.identity = fmt.Sprintf("%d %d %08x\n", info.Size(), info.ModTime().UnixNano(), out.crc)
	return out, nil
}

func (f *File) load(file *os.File, size int64) error {
	if int64(int(size)) != size {
		return fmt.Errorf("%d bytes are more than this machine can address", size)
	}
	if size > readBelow && canMap {
		data, err := mapFile(file, int(size))
		if err != nil {
			return fmt.Errorf("map into memory: %w", err)
		}
		f.data, f.mapped = data, true
		return nil
	}
	data := aligned(int(size))
	if _, err := io.ReadFull(file, data); err != nil {
		return fmt.Errorf("%w: it became shorter while it was read", ErrTruncated)
	}
	f.data = data
	return nil
}

// Close gives the memory back. Views of a mapped file must not be used after.
func (f *File) Close() error {
	data, mapped := f.data, f.mapped
	f.data, f.mapped = nil, false
	if mapped {
		return unmap(data)
	}
	return nil
}

// Path is the file's path, as opened.
func (f *File) Path() string { return f.path }

// Section gives a section's bytes, a view valid until Close, or false where
// the file has none of that tag. It is an error if its elements have another
// size than the reader's.
func (f *File) Section(tag string, elementSize int) ([]byte, bool, error) {
	for _, r := range f.rows {
		if r.tag != tag {
			continue
		}
		if int(r.elementSize) != elementSize || r.length%uint64(elementSize) != 0 {
			return nil, false, fmt.Errorf("open %s: %w: section %q, offset %d: %d bytes in elements of %d, not of %d",
				f.path, ErrDamaged, tag, r.offset, r.length, r.elementSize, elementSize)
		}
		return f.data[r.offset : r.offset+r.length : r.offset+r.length], true, nil
	}
	return nil, false, nil
}

// Verify compares every section with its checksum, and then lets check look at
// what the sections say. A file in memory is verified each time, a mapped one
// once: the cache folder remembers path, size, time of change and header
// checksum of what was found good.
func (f *File) Verify(check func() error) error {
	if f.mapped && remembered(f.path, f.identity) {
		return nil
	}
	err := f.Guard(func() error {
		for _, r := range f.rows {
			if checksum(f.data[r.offset:r.offset+r.length]) != r.crc {
				return fmt.Errorf("open %s: %w: section %q, offset %d: the checksum does not match", f.path, ErrDamaged, r.tag, r.offset)
			}
		}
		return check()
	})
	if err == nil && f.mapped {
		remember(f.path, f.identity)
	}
	return err
}

// Guard runs fn and turns a fault in the mapped file into ErrTruncated: a
// mapped page beyond the end of a file that shrank can't be read, and without
// a guard the program would die there. It holds for the goroutine that calls
// it; other goroutines that read the views need their own.
func (f *File) Guard(fn func() error) error {
	err := f.guard(fn)
	if err == errShrank {
		return fmt.Errorf("read %s: %w", f.path, err)
	}
	return err
}

var errShrank = fmt.Errorf("%w: it became shorter while it was in use", ErrTruncated)

func (f *File) guard(fn func() error) (err error) {
	if !f.mapped {
		return fn()
	}
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		p := recover()
		if p == nil {
			return
		}
		if fault, ok := p.(interface{ Addr() uintptr }); ok && within(fault.Addr(), f.data) {
			err = errShrank
			return
		}
		panic(p)
	}()
	return fn()
}
