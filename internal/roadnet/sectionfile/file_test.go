package sectionfile

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

var testFormat = Format{Magic: [8]byte{'t', 'e', 's', 't', 'f', 'i', 'l', 'e'}, Version: 3}

// big makes a file large enough to be mapped.
func big(t *testing.T) (path string, data []byte) {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	data = make([]byte, readBelow+12345)
	for i := range data {
		data[i] = byte(i * 7 >> 3)
	}
	path = filepath.Join(t.TempDir(), "big")
	if err := Write(path, testFormat, []Section{{"small", 4, []byte{1, 0, 0, 0}}, {"big", 1, data}}); err != nil {
		t.Fatal(err)
	}
	return path, data
}

func none() error { return nil }

// The check value is RFC 3720's, appendix B.4: 32 bytes of zeros give aa 36 91
// 8a, least byte first.
func TestChecksum(t *testing.T) {
	if got := checksum(make([]byte, 32)); got != 0x8a9136aa {
		t.Errorf("checksum of 32 zeros = %08x, want 8a9136aa", got)
	}
}

func TestMappedFile(t *testing.T) {
	path, data := big(t)
	f, err := Open(path, testFormat)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if f.mapped != canMap {
		t.Errorf("mapped = %v, want %v", f.mapped, canMap)
	}
	if err := f.Verify(none); err != nil {
		t.Fatal(err)
	}
	got, ok, err := f.Section("big", 1)
	if err != nil || !ok || !bytes.Equal(got, data) {
		t.Error("the section is not what was written")
	}
	if numbers, _, _ := f.Section("small", 4); len(View[uint32](numbers)) != 1 || View[uint32](numbers)[0] != 1 {
		t.Error("the small section is not what was written")
	}
	if _, ok, err := f.Section("other", 1); ok || err != nil {
		t.Errorf("an absent section: %v, %v", ok, err)
	}
	if _, _, err := f.Section("small", 8); !errors.Is(err, ErrDamaged) {
		t.Errorf("elements of another size: %v", err)
	}
}

// A mapped file is verified once and then remembered; one that was damaged is
// not, and neither is one that changed since.
func TestVerifiedOnce(t *testing.T) {
	if !canMap {
		t.Skip("files are not mapped on this system, and verified each time")
	}
	path, data := big(t)
	checks := 0
	verify := func() error {
		f, err := Open(path, testFormat)
		if err != nil {
			return err
		}
		defer f.Close()
		return f.Verify(func() error { checks++; return nil })
	}
	for range 3 {
		if err := verify(); err != nil {
			t.Fatal(err)
		}
	}
	if checks != 1 {
		t.Errorf("verified %d times, want once", checks)
	}
	if err := Write(path, testFormat, []Section{{"big", 1, data[1:]}}); err != nil {
		t.Fatal(err)
	}
	if err := verify(); err != nil || checks != 2 {
		t.Errorf("a new file at the same path: %v, verified %d times, want 2", err, checks)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b[len(b)-5]++
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := verify(); !errors.Is(err, ErrDamaged) {
			t.Errorf("a damaged file: %v", err)
		}
	}
}

// A file that becomes shorter while it is open is an error to whoever reads
// what is no longer there.
func TestShrinks(t *testing.T) {
	if !canMap {
		t.Skip("files are not mapped on this system: nothing can shrink under the program")
	}
	path, _ := big(t)
	f, err := Open(path, testFormat)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := os.Truncate(path, 4096); err != nil {
		t.Fatal(err)
	}
	if err := f.Verify(none); !errors.Is(err, ErrTruncated) {
		t.Errorf("Verify of a file that shrank = %v, want %v", err, ErrTruncated)
	}
	sum := 0
	err = f.Guard(func() error {
		data, _, _ := f.Section("big", 1)
		for _, b := range data {
			sum += int(b)
		}
		return nil
	})
	if !errors.Is(err, ErrTruncated) {
		t.Errorf("reading a file that shrank = %v, want %v", err, ErrTruncated)
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("a panic of the work itself was swallowed")
			}
		}()
		f.Guard(func() error { panic("bug: of the work") })
	}()
}

// Who has the old file open keeps it when a new one takes its place.
func TestReplacedWhileOpen(t *testing.T) {
	path, data := big(t)
	f, err := Open(path, testFormat)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := Write(path, testFormat, []Section{{"big", 1, []byte("new")}}); err != nil {
		t.Fatal(err)
	}
	if got, _, _ := f.Section("big", 1); !bytes.Equal(got, data) {
		t.Error("the open file changed")
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// A writing that fails leaves the old file as it was, and nothing else.
func TestWriteFails(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "there", "file")
	if err := Write(path, testFormat, nil); err == nil {
		t.Error("writing into a folder that is not there gave no error")
	}
	if err := os.MkdirAll(path, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Write(path, testFormat, nil); err == nil {
		t.Error("writing over a folder gave no error")
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
}
