package traffic

import (
	"bytes"
	"errors"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/roadnettest"
)

// The index is usable before its traffic is there, and says so; the section is
// made after the rest, and comes back from the file as it was.
func TestSectionOfTheIndex(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ring.idx")
	if err := roadnet.Write(path, roadnettest.Parse(t, ring)); err != nil {
		t.Fatal(err)
	}
	n, err := roadnet.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	if _, err := Of(n); !errors.Is(err, ErrNotMeasured) {
		t.Errorf("before: %v, want %v", err, ErrNotMeasured)
	}
	want := measure(t, n, FactsOf(n))
	if err := roadnet.Write(path, n.WithTraffic(want.Encode())); err != nil {
		t.Fatal(err)
	}
	after, err := roadnet.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer after.Close()
	got, err := Of(after)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got.rows, want.rows) || !bytes.Equal(got.Encode(), want.Encode()) {
		t.Error("the section came back different")
	}
}

// A section of another network, another version or with bytes changed is told
// from a good one, and is never a panic.
func TestSectionDamaged(t *testing.T) {
	n := roadnettest.Parse(t, ring)
	good := measure(t, n, FactsOf(n)).Encode()
	change := func(at int, to byte) []byte {
		b := bytes.Clone(good)
		b[at] = to
		return b
	}
	for _, c := range []struct {
		name string
		b    []byte
		says string
	}{
		{"cut within the head", good[:10], "10 bytes"},
		{"another version", change(0, 9), "version 9"},
		{"another network", append(change(4, good[4]+1), make([]byte, rowSize)...), "and the network has"},
		{"cut", good[:len(good)-1], "and the network has"},
		{"no such band", change(headSize, byte(bandCount)), "no row"},
		{"no such cause", change(headSize+1, byte(causeCount)), "no row"},
		{"a road that is not there", change(headSize+11, 7), "no row"},
		{"a share of no number", change(15, 0xFF), "share"},
	} {
		_, err := Of(n.WithTraffic(c.b))
		if !errors.Is(err, roadnet.ErrDamaged) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for at := range good {
		for _, flip := range []byte{1, 0x80, 0xFF} {
			if q, err := Of(n.WithTraffic(change(at, good[at]^flip))); err == nil {
				for s := range roadnet.StretchID(n.NumStretches()) {
					q.At(s).Reason(n)
				}
			}
		}
	}
}
