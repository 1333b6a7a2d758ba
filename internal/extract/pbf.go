package extract

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"sync/atomic"
	"time"

	"github.com/paulmach/orb"
	"github.com/qedus/osmpbf/OSMPBF"
	"google.golang.org/protobuf/proto"

	"loopwright/internal/country"
)

// heldBytes bounds the unpacked node blocks that are kept from the first pass
// for the second; the rest are unpacked again.
const heldBytes = 64 << 20

// pbfReader reads one .osm.pbf in two passes over its blocks:
//
//  1. all blocks: count everything, decode roads, outlines and restrictions;
//  2. blocks with nodes: find those of roads and outlines among them.
//
// So memory goes with the roads in the file, not with its nodes.
type pbfReader struct {
	file     *os.File
	name     string
	size     int64
	decoders []*decoder
	header   header
	nodes    []nodeBlock
	progress func(int64)
}

// nodeBlock is where nodes are.
type nodeBlock struct {
	number int
	offset int64  // of the block
	blob   int64  // of its Blob
	length int    // of its Blob
	raw    []byte // the Blob unpacked, where it was kept
}

// header is what an OSMHeader block says.
type header struct {
	box       orb.Bound
	boxed     bool
	timestamp time.Time
}

func newPBFReader(s *source, workers int, p *country.Profile, progress func(int64)) *pbfReader {
	r := &pbfReader{file: s.file, name: s.name, size: s.info.Size(), progress: progress}
	for range workers {
		r.decoders = append(r.decoders, &decoder{reap: reap{profile: p}})
	}
	return r
}

func (r *pbfReader) close() {
	for _, d := range r.decoders {
		d.inflater.close()
	}
}

// readHeader reads what an OSMHeader block says, and refuses files whose
// required features are not known here.
func readHeader(f *inflater, blob []byte) (h header, err error) {
	raw, err := f.inflate(blob)
	if err != nil {
		return h, err
	}
	var m OSMPBF.HeaderBlock
	if err := proto.Unmarshal(raw, &m); err != nil {
		return h, errors.New("the OSMHeader can't be decoded")
	}
	for _, feature := range m.GetRequiredFeatures() {
		switch feature {
		case "OsmSchema-V0.6", "DenseNodes":
		case "HistoricalInformation":
			return h, ErrHistory
		default:
			return h, fmt.Errorf("the file requires the feature %q, which is not known here", feature)
		}
	}
	if t := m.GetOsmosisReplicationTimestamp(); t > 0 && t <= maxTimestamp/1000 {
		h.timestamp = time.Unix(t, 0).UTC()
	}
	if b := m.GetBbox(); b != nil {
		h.box, h.boxed = boxOf(float64(b.GetLeft())/1e9, float64(b.GetBottom())/1e9, float64(b.GetRight())/1e9, float64(b.GetTop())/1e9)
	}
	return h, nil
}

// boxOf makes a box, if it is one and on the earth.
func boxOf(west, south, east, north float64) (orb.Bound, bool) {
	ok := west >= -180 && east <= 180 && south >= -90 && north <= 90 && west < east && south < north
	return orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{east, north}}, ok
}

// openHeader reads the first block.
func openHeader(in *framer, f *inflater) (header, error) {
	head, err := in.next(nil)
	if err == io.EOF {
		return header{}, &Fault{in.file, 1, 0, fmt.Errorf("the file is empty: %w", ErrTruncated)}
	}
	if err != nil {
		return header{}, err
	}
	if head.kind != "OSMHeader" {
		return header{}, &Fault{in.file, 1, 0, fmt.Errorf("%w in .osm.pbf form: it begins with a block of type %q", ErrNotOSM, head.kind)}
	}
	h, err := readHeader(f, head.blob)
	if err != nil {
		return h, &Fault{in.file, head.number, head.offset, err}
	}
	return h, nil
}

// firstPass reads all blocks into g and gives the file's digest.
func (r *pbfReader) firstPass(ctx context.Context, g *gather) (sum [32]byte, err error) {
	hash := sha256.New()
	in := newFramer(io.TeeReader(r.file, hash), r.name, r.size)
	if r.header, err = openHeader(in, &r.decoders[0].inflater); err != nil {
		return sum, err
	}
	for _, d := range r.decoders {
		d.dated = r.header.timestamp.IsZero()
	}
	var held atomic.Int64
	free := make(chan []byte, 4*len(r.decoders)) // buffers to read into
	type result struct {
		frame frame
		h     *harvest
		raw   []byte
	}
	err = ordered(ctx, len(r.decoders), func(yield func(frame) bool) error {
		for {
			var buf []byte
			select {
			case buf = <-free:
			default:
			}
			f, err := in.next(buf)
			if err == io.EOF {
				return nil
			}
			if err != nil {
				return err
			}
			if !yield(f) {
				return nil
			}
		}
	}, func(worker int, f frame) (result, error) {
		d := r.decoders[worker]
		out := result{frame: f}
		var err error
		switch f.kind {
		case "OSMHeader": // of a file that was joined to another: the first holds
			_, err = readHeader(&d.inflater, f.blob)
		case "OSMData":
			if err = d.unpack(f.blob); err == nil {
				out.h, err = d.harvest()
			}
		}
		if err != nil {
			return out, &Fault{r.name, f.number, f.offset, err}
		}
		if out.h != nil && out.h.counts.Nodes > 0 && held.Add(int64(len(d.raw))) <= heldBytes {
			out.raw = bytes.Clone(d.raw)
		}
		return out, nil
	}, func(out result) error {
		f := out.frame
		if out.h != nil {
			g.add(out.h)
			if out.h.counts.Nodes > 0 {
				r.nodes = append(r.nodes, nodeBlock{f.number, f.offset, f.end() - int64(len(f.blob)), len(f.blob), out.raw})
			}
		}
		r.progress(f.end())
		select {
		case free <- f.blob:
		default:
		}
		return nil
	})
	hash.Sum(sum[:0])
	return sum, err
}

// secondPass finds the wanted nodes.
func (r *pbfReader) secondPass(ctx context.Context, wanted []NodeID, consume func(*sightings)) error {
	hullToo := !r.header.boxed
	type result struct {
		s   *sightings
		end int64
	}
	return ordered(ctx, len(r.decoders), func(yield func(*nodeBlock) bool) error {
		for i := range r.nodes {
			if !yield(&r.nodes[i]) {
				break
			}
		}
		return nil
	}, func(worker int, n *nodeBlock) (result, error) {
		d := r.decoders[worker]
		var err error
		if n.raw != nil {
			err = d.open(n.raw)
			n.raw = nil
		} else {
			err = d.unpackAgain(r.file, n)
		}
		var s *sightings
		if err == nil {
			s, err = d.sight(wanted, hullToo)
		}
		if err != nil {
			err = &Fault{r.name, n.number, n.offset, err}
		}
		return result{s, n.blob + int64(n.length)}, err
	}, func(out result) error {
		consume(out.s)
		r.progress(r.size + out.end)
		return nil
	})
}

// boundsPBF gives the header's box, else the hull of all nodes.
func boundsPBF(ctx context.Context, s *source) (orb.Bound, bool, error) {
	r := newPBFReader(s, runtime.GOMAXPROCS(0), &country.Profile{}, func(int64) {})
	defer r.close()
	in := newFramer(s.file, s.name, r.size)
	header, err := openHeader(in, &r.decoders[0].inflater)
	if err != nil || header.boxed {
		return header.box, header.boxed, err
	}
	if _, err := s.file.Seek(0, io.SeekStart); err != nil {
		return orb.Bound{}, false, err
	}
	var g gather
	if _, err := r.firstPass(ctx, &g); err != nil {
		return orb.Bound{}, false, err
	}
	var h hull
	err = r.secondPass(ctx, nil, func(s *sightings) { h.join(s.hull) })
	return h.bound(), h.any, err
}
