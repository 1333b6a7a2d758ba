package extract

import (
	"bufio"
	"bytes"
	"cmp"
	"compress/bzip2"
	"fmt"
	"io"

	"github.com/klauspost/compress/gzip"
)

// Bounds of what XML may hold: no real element is longer (a relation of the
// 32,000 members that the OpenStreetMap API allows has about 2 MiB), and no map
// shrinks more (twenty to thirty times is usual). Our choice.
const (
	maxElement    = 4 << 20
	mostXMLGrowth = 100
	freeXMLGrowth = 1 << 20
)

// unpacked is the text of an XML file, bounded.
type unpacked struct {
	r      *bufio.Reader
	packed *counted
	since  int64 // bytes since the last element
	total  int64
}

// counted counts the bytes of the file itself.
type counted struct {
	r io.Reader
	n int64
}

func (c *counted) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.n += int64(n)
	return n, err
}

func newUnpacked(raw io.Reader, f form) (*unpacked, error) {
	u := &unpacked{packed: &counted{r: raw}}
	var text io.Reader
	switch f {
	case formGzip:
		z, err := gzip.NewReader(bufio.NewReaderSize(u.packed, 1<<16))
		if err != nil {
			return nil, fmt.Errorf("this is not gzip data: %w", cmp.Or(truncation(err), err))
		}
		text = z
	case formBzip2:
		text = bzip2.NewReader(bufio.NewReaderSize(u.packed, 1<<16))
	default:
		text = u.packed
	}
	u.r = bufio.NewReaderSize(text, 1<<16)
	return u, nil
}

func truncation(err error) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return ErrTruncated
	}
	return nil
}

// checkRoot looks at the beginning: the first element must be osm.
func (u *unpacked) checkRoot() error {
	head, err := u.r.Peek(4096)
	if err != nil && err != io.EOF {
		return cmp.Or(truncation(err), err)
	}
	for rest := head; ; {
		i := bytes.IndexByte(rest, '<')
		if i < 0 || i+1 >= len(rest) {
			break
		}
		rest = rest[i+1:]
		if rest[0] == '?' || rest[0] == '!' {
			continue
		}
		if bytes.HasPrefix(rest, []byte("osm>")) || bytes.HasPrefix(rest, []byte("osm ")) || bytes.HasPrefix(rest, []byte("osm\n")) ||
			bytes.HasPrefix(rest, []byte("osm\r")) || bytes.HasPrefix(rest, []byte("osm\t")) || bytes.HasPrefix(rest, []byte("osm/>")) {
			return nil
		}
		break
	}
	if len(head) == 0 {
		return fmt.Errorf("the file is empty: %w", ErrTruncated)
	}
	return fmt.Errorf("%w: its first element is not osm", ErrNotOSM)
}

// Read gives the next bytes, within the bounds.
func (u *unpacked) Read(b []byte) (int, error) {
	n, err := u.r.Read(b)
	u.since += int64(n)
	u.total += int64(n)
	switch {
	case u.since > maxElement:
		return 0, fmt.Errorf("an element is longer than %d bytes", maxElement)
	case u.total > freeXMLGrowth+mostXMLGrowth*u.packed.n:
		return 0, ErrExpands
	}
	return n, err
}
