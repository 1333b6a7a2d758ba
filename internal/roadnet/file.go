package roadnet

import (
	"fmt"

	"loopwright/internal/roadnet/sectionfile"
)

// What can be wrong with an index file; tell them apart with errors.Is. An
// index is never mended or migrated: make it anew from its extract.
var (
	ErrNotOurs      = sectionfile.ErrNotOurs
	ErrOtherVersion = sectionfile.ErrOtherVersion
	ErrTruncated    = sectionfile.ErrTruncated
	ErrDamaged      = sectionfile.ErrDamaged
)

// Write makes the index file, replacing one that is there in a single step.
func Write(path string, n *Network) error {
	about, err := encodeAbout(&n.c.About)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	sections := []sectionfile.Section{{Tag: aboutTag, ElementSize: 1, Data: about}}
	for _, col := range columns {
		sections = append(sections, sectionfile.Section{Tag: col.tag, ElementSize: col.size, Data: col.put(&n.c)})
	}
	return sectionfile.Write(path, fileFormat, sections)
}

// Open opens an index file. Small files are read whole and checked each time;
// large ones are mapped, checked once, and remembered as good.
func Open(path string) (*Network, error) {
	file, err := sectionfile.Open(path, fileFormat)
	if err != nil {
		return nil, err
	}
	n := &Network{file: file}
	if err := n.read(); err != nil {
		file.Close()
		return nil, err
	}
	return n, nil
}

func (n *Network) read() error {
	path := n.file.Path()
	section := func(tag string, size int) ([]byte, error) {
		b, ok, err := n.file.Section(tag, size)
		if err == nil && !ok {
			err = fmt.Errorf("open %s: %w: section %q is not there", path, ErrDamaged, tag)
		}
		return b, err
	}
	about, err := section(aboutTag, 1)
	if err != nil {
		return err
	}
	for _, col := range columns {
		b, err := section(col.tag, col.size)
		if err != nil {
			return err
		}
		col.take(&n.c, b)
	}
	err = n.file.Verify(func() error {
		if err := n.c.check(); err != nil {
			return fmt.Errorf("open %s: %w", path, err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return n.file.Guard(func() error {
		if err := decodeAbout(about, &n.c.About); err != nil {
			return fmt.Errorf("open %s: %w: section %q: %w", path, ErrDamaged, aboutTag, err)
		}
		return nil
	})
}

// Close gives the file's memory back; the network and its views must not be
// used after. On a network made in memory it does nothing.
func (n *Network) Close() error {
	if n.file == nil {
		return nil
	}
	return n.file.Close()
}

// Guard runs work on the network. If the index file becomes shorter under the
// program meanwhile, the answer is ErrTruncated, where without a guard the
// program would end. A guard holds for the goroutine that calls it: work that
// starts others guards each.
func (n *Network) Guard(work func() error) error {
	if n.file == nil {
		return work()
	}
	return n.file.Guard(work)
}
