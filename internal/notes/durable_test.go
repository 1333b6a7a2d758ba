package notes

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"loopwright/internal/calendar"
)

// start starts a writer on a file.
func start(t *testing.T, path string, env ...string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	c.Env = append(append(os.Environ(), "LOOPWRIGHT_NOTES_WRITER="+path), env...)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c, bufio.NewScanner(out)
}

// whole opens a file, asks SQLite whether it is whole, and gives the names of
// its revisions.
func whole(t *testing.T, path string) map[string]bool {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	names := map[string]bool{}
	if err := s.Revisions(func(r Revision) error { names[r.Name.String()] = true; return nil }); err != nil {
		t.Fatal(err)
	}
	if s.db != nil {
		var said string
		if err := s.db.QueryRow("PRAGMA integrity_check").Scan(&said); err != nil || said != "ok" {
			t.Fatalf("integrity_check: %s, %v", said, err)
		}
	}
	return names
}

// A program that is ended while it writes leaves every note that it
// acknowledged, and a file that opens.
func TestKill(t *testing.T) {
	const seed = 5
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))
	path := filepath.Join(t.TempDir(), "notes.db")
	acknowledged := map[string]bool{}
	for round := range kills {
		c, lines := start(t, path, "LOOPWRIGHT_NOTES_COUNT=1000000", fmt.Sprint("LOOPWRIGHT_NOTES_SEED=", round))
		fuse := time.AfterFunc(time.Duration(20+rng.IntN(180))*time.Millisecond, func() { c.Process.Kill() })
		for lines.Scan() {
			if line := lines.Text(); len(line) == 64 {
				acknowledged[line] = true
			} else if strings.HasPrefix(line, "error") {
				t.Fatalf("round %d: %s", round, line)
			}
		}
		c.Wait()
		fuse.Stop()
		held := whole(t, path)
		for name := range acknowledged {
			if !held[name] {
				t.Fatalf("round %d: note %s was acknowledged and is lost", round, name)
			}
		}
	}
	t.Logf("%d kills, %d notes acknowledged, all there", kills, len(acknowledged))
	if len(acknowledged) == 0 {
		t.Error("no note was ever acknowledged")
	}
}

// Two programs write at once, and all of both is there.
func TestTwoWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notes.db")
	all := make([]map[string]bool, 2)
	done := make(chan error, 2)
	for i := range all {
		all[i] = map[string]bool{}
		c, lines := start(t, path, fmt.Sprint("LOOPWRIGHT_NOTES_SECONDS=", pairSeconds), fmt.Sprint("LOOPWRIGHT_NOTES_SEED=", i))
		go func() {
			for lines.Scan() {
				if strings.HasPrefix(lines.Text(), "error") {
					done <- errors.New(lines.Text())
					c.Wait()
					return
				}
				all[i][lines.Text()] = true
			}
			done <- c.Wait()
		}()
	}
	for range all {
		if err := <-done; err != nil {
			t.Fatal(err)
		}
	}
	held := whole(t, path)
	t.Logf("%d and %d notes at once", len(all[0]), len(all[1]))
	for i := range all {
		if len(all[i]) == 0 {
			t.Errorf("writer %d wrote nothing", i)
		}
		for name := range all[i] {
			if !held[name] {
				t.Fatalf("writer %d: note %s is lost", i, name)
			}
		}
	}
}

// sentence says whether an error is one sentence that names the file.
func sentence(t *testing.T, err error, reason error, path string) {
	t.Helper()
	if !errors.Is(err, reason) {
		t.Fatalf("error is %v, want %v", err, reason)
	}
	text := err.Error()
	if !strings.Contains(text, path) || strings.Contains(text, "\n") || strings.HasSuffix(text, ".") || strings.Contains(text, "SQL") {
		t.Errorf("no plain sentence: %q", text)
	}
}

// A full disk: SQLite's own bound on the pages of a file stands for it, and
// then the system's bound on the size of a file.
func TestDiskFull(t *testing.T) {
	s := store(t)
	rng := rand.New(rand.NewPCG(1, 0))
	if _, err := s.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec("PRAGMA max_page_count = 40"); err != nil {
		t.Fatal(err)
	}
	count := 1
	var err error
	for ; count < 2000; count++ {
		if _, err = s.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
			break
		}
	}
	sentence(t, err, ErrFull, s.Path())
	if got := len(whole(t, s.Path())); got != count {
		t.Errorf("%d notes are left of %d", got, count)
	}
	if _, err := s.db.Exec("PRAGMA max_page_count = 100000"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
		t.Errorf("with room again: %v", err)
	}
}

func TestFileMayNotGrow(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("this system does not bound the size of a file")
	}
	path := filepath.Join(t.TempDir(), "notes.db")
	c, lines := start(t, path, "LOOPWRIGHT_NOTES_COUNT=100000", "LOOPWRIGHT_NOTES_LIMIT=200000")
	acknowledged, failed := map[string]bool{}, ""
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "error") {
			failed = lines.Text()
		} else {
			acknowledged[lines.Text()] = true
		}
	}
	c.Wait()
	if !strings.Contains(failed, path) || !strings.Contains(failed, "disk") {
		t.Errorf("the writer says %q, want a sentence on the disk", failed)
	}
	held := whole(t, path)
	for name := range acknowledged {
		if !held[name] {
			t.Fatalf("note %s is lost", name)
		}
	}
	if len(acknowledged) == 0 {
		t.Error("no note was ever acknowledged")
	}
}

func TestLocked(t *testing.T) {
	before := waitMs
	waitMs = 50
	defer func() { waitMs = before }()
	s, other := store(t), store(t)
	other.path = s.path
	rng := rand.New(rand.NewPCG(1, 0))
	if _, err := s.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
		t.Fatal(err)
	}
	tx, err := s.db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	_, err = other.Add(sayAnything(rng, anyPlace(rng)), wall)
	sentence(t, err, ErrLocked, s.Path())
	if err := tx.Rollback(); err != nil {
		t.Fatal(err)
	}
	if _, err := other.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
		t.Fatal(err)
	}
	if got := len(whole(t, s.Path())); got != 2 {
		t.Errorf("%d notes, want 2", got)
	}
}

func TestReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o700)
	if os.Geteuid() == 0 && runtime.GOOS == "linux" {
		dir = "/sys" // where the superuser can't make a file either
	}
	s, err := Open(filepath.Join(dir, "notes.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	rng := rand.New(rand.NewPCG(1, 0))
	_, err = s.Add(sayAnything(rng, anyPlace(rng)), wall)
	sentence(t, err, ErrReadOnly, s.Path())
}

// A folder's place that is taken by a file can't be written by anybody.
func TestNoFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "taken")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(filepath.Join(file, "notes.db"))
	if err == nil {
		rng := rand.New(rand.NewPCG(1, 0))
		_, err = s.Add(sayAnything(rng, anyPlace(rng)), wall)
	}
	sentence(t, err, ErrReadOnly, file)
}

// Files that are damaged, or not ours, are refused in one sentence and stay as
// they are.
func TestDamaged(t *testing.T) {
	good := filepath.Join(t.TempDir(), "good.db")
	s, err := Open(good)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 0))
	for range 50 {
		if _, err := s.Add(sayAnything(rng, anyPlace(rng)), wall); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	at := func(offset int, b ...byte) []byte {
		out := bytes.Clone(text)
		copy(out[offset:], b)
		return out
	}
	// Offsets of the header: "Database File Format", SQLite documentation.
	for _, c := range []struct {
		name   string
		file   []byte
		reason error
	}{
		{"no database", []byte("these are my notes, and they are of no use to a program at all, however long they get"), ErrDamaged},
		{"cut", text[:len(text)/2], ErrDamaged},
		{"first page overwritten", at(100, bytes.Repeat([]byte{0xff}, 1000)...), ErrDamaged},
		{"somebody else's", at(68, 0, 0, 0, 9), ErrNotOurs},
		{"newer", at(60, 0, 0, 0, 9), ErrOtherVersion},
	} {
		path := filepath.Join(t.TempDir(), "notes.db")
		if err := os.WriteFile(path, c.file, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(path)
		if err == nil {
			_, err = s.Export(io.Discard)
			s.Close()
		}
		t.Run(c.name, func(t *testing.T) { sentence(t, err, c.reason, path) })
		if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, c.file) {
			t.Errorf("%s: the file was changed, %v", c.name, err)
		}
	}
	// Whatever byte is overwritten: an answer or an error, and never a panic.
	for offset := 0; offset < len(text); offset += 997 {
		path := filepath.Join(t.TempDir(), "notes.db")
		if err := os.WriteFile(path, at(offset, text[offset]^0x55), 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(path)
		if err != nil {
			continue
		}
		s.Export(io.Discard)
		s.Within(earth)
		s.Add(sayAnything(rng, anyPlace(rng)), wall)
		s.Close()
	}
}

// No file is made before something is written, and an empty one is no fault:
// a program may have been ended just then.
func TestNothingWritten(t *testing.T) {
	s := store(t)
	if all, err := s.Within(earth); err != nil || len(all.notes) != 0 {
		t.Errorf("Within = %v, %v", all, err)
	}
	if _, err := os.Stat(s.Path()); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("reading made a file: %v", err)
	}
	if err := os.WriteFile(s.Path(), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if batches, err := s.Batches(); err != nil || len(batches) != 0 {
		t.Errorf("Batches of an empty file = %v, %v", batches, err)
	}
	if _, err := s.Import(nil, "empty.geojson", calendar.DateOf(wall)); err != nil {
		t.Error(err)
	}
}
