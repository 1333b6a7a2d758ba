// Package extract reads an OpenStreetMap file into typed facts: the roads that
// a car may drive or that open onto one, their nodes, turn restrictions,
// settlements and addresses, and what stands beside the roads. What tags mean
// is decided here and nowhere else.
//
//	.osm.pbf            blocks -> unpack -> decode ways, relations --+
//	                      |                                          +--> facts
//	                      +---> unpack -> find the roads' nodes -----+
//	.osm, .gz, .bz2     unpack -> elements --------------------------+
//
// Blocks are worked on by several goroutines and joined in the order of the
// file, so that the facts do not depend on how many there are. A file is not
// trusted: every size and index is checked, and every fault is one error that
// says file, block and byte. A value that can't be read is counted and
// reported, and never guessed.
//
// Not guaranteed: that the map is right; that a file cut at the end of a block
// is noticed (the format can't tell; nodes are then missing, and counted).
package extract

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/country"
)

// Options say how to read.
type Options struct {
	Profile  *country.Profile        // whose defaults and words apply; needed
	Workers  int                     // goroutines that decode; 0: one per processor
	Progress func(done, total int64) // in bytes of work, rising; may be nil; called from one goroutine
}

// form is how a file is written.
type form uint8

const (
	formPBF form = iota
	formXML
	formGzip
	formBzip2
)

// formOf goes by the name, as OpenStreetMap tools do.
func formOf(name string) (form, error) {
	switch lower := strings.ToLower(name); {
	case strings.HasSuffix(lower, ".pbf"):
		return formPBF, nil
	case strings.HasSuffix(lower, ".osm"), strings.HasSuffix(lower, ".osm.xml"):
		return formXML, nil
	case strings.HasSuffix(lower, ".osm.gz"):
		return formGzip, nil
	case strings.HasSuffix(lower, ".osm.bz2"):
		return formBzip2, nil
	}
	return 0, fmt.Errorf("read %s: the name does not end in .osm.pbf, .osm, .osm.gz or .osm.bz2", name)
}

// source is an open file with what is known before reading.
type source struct {
	file *os.File
	name string
	form form
	info os.FileInfo
}

func open(path string) (*source, error) {
	s := &source{name: filepath.Base(path)}
	var err error
	if s.form, err = formOf(s.name); err != nil {
		return nil, err
	}
	if s.file, err = os.Open(path); err != nil {
		return nil, err
	}
	if s.info, err = s.file.Stat(); err == nil && !s.info.Mode().IsRegular() {
		err = fmt.Errorf("read %s: this is not a regular file", path)
	}
	if err != nil {
		s.file.Close()
		return nil, err
	}
	return s, nil
}

// unchanged is an error where the file was written to meanwhile.
func (s *source) unchanged() error {
	now, err := s.file.Stat()
	if err != nil {
		return err
	}
	if now.Size() != s.info.Size() || !now.ModTime().Equal(s.info.ModTime()) {
		return fmt.Errorf("read %s: the file changed while it was being read", s.name)
	}
	return nil
}

// Read reads a whole file. Its facts are the same for any number of workers.
// Errors in the file are of type *Fault.
func Read(ctx context.Context, path string, opts Options) (*Extract, error) {
	s, err := open(path)
	if err != nil {
		return nil, err
	}
	defer s.file.Close()
	e := &Extract{Source: Source{Name: s.name, Size: s.info.Size()}}
	if s.form == formPBF {
		err = readPBF(ctx, s, opts, e)
	} else {
		err = readXML(ctx, s, opts, e)
	}
	if err == nil {
		err = s.unchanged()
	}
	if err != nil {
		return nil, err
	}
	return e, nil
}

func (o *Options) workers() int {
	if o.Workers > 0 {
		return o.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// progress reports against a total.
func (o *Options) progress(total int64) func(int64) {
	if o.Progress == nil {
		return func(int64) {}
	}
	return func(done int64) { o.Progress(done, total) }
}

func readPBF(ctx context.Context, s *source, opts Options, e *Extract) error {
	r := newPBFReader(s, opts.workers(), opts.Profile, opts.progress(2*s.info.Size()))
	defer r.close()
	var g gather
	var err error
	if e.Source.SHA256, err = r.firstPass(ctx, &g); err != nil {
		return err
	}
	a := newAtlas(&g)
	if err := r.secondPass(ctx, a.wanted, func(s *sightings) { a.add(s, &g.report) }); err != nil {
		return err
	}
	e.Source.Timestamp = r.header.timestamp
	if e.Source.Timestamp.IsZero() {
		e.Source.Timestamp = g.newest
	}
	e.Source.Bounds = r.header.box
	if !r.header.boxed {
		e.Source.Bounds = a.hull.bound()
	}
	finish(&g, a, opts.Profile, e)
	r.progress(2 * r.size)
	return nil
}

// Bounds gives the box that the file says it covers, else the hull of its
// nodes: for choosing the country before Read. The second way reads the whole
// file.
func Bounds(ctx context.Context, path string) (orb.Bound, error) {
	s, err := open(path)
	if err != nil {
		return orb.Bound{}, err
	}
	defer s.file.Close()
	var b orb.Bound
	var ok bool
	if s.form == formPBF {
		b, ok, err = boundsPBF(ctx, s)
	} else {
		b, ok, err = boundsXML(ctx, s)
	}
	if err == nil && !ok {
		err = fmt.Errorf("read %s: the file holds no nodes", s.name)
	}
	return b, err
}
