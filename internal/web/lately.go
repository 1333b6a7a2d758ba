package web

import (
	"bytes"
	"compress/gzip"
	"io"
)

// lately is a plan made lately, packed: a circuit file packs to a tenth, so that
// what one person prints is still here when many others have planned since.
type lately struct {
	id     string
	packed []byte
	said   []string
}

// mostPlanBytes holds some 300 plans of an hour.
const mostPlanBytes = 8 << 20

func pack(p plan) (lately, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	if err != nil {
		return lately{}, err
	}
	if _, err := z.Write(p.Circuit); err != nil {
		return lately{}, err
	}
	if err := z.Close(); err != nil {
		return lately{}, err
	}
	return lately{p.ID, bytes.Clone(b.Bytes()), p.Said}, nil
}

func (l lately) plan() (*plan, error) {
	z, err := gzip.NewReader(bytes.NewReader(l.packed))
	if err != nil {
		return nil, err
	}
	file, err := io.ReadAll(z)
	if err != nil {
		return nil, err
	}
	return &plan{ID: l.id, Circuit: file, Said: l.said}, nil
}
