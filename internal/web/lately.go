package web

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"
)

// mostLately is how many plans are held though nobody keeps them. Our choice:
// fifty people who plan every twenty seconds can still print what they planned
// three minutes ago; packed they are 20 MB.
const mostLately = 500

// lately holds the plans made lately, so that their files can be had. They lie
// packed in a folder of their own and go with the program: a plan is a hundred
// times what one remembers of it, and who wants it for longer keeps it. Safe for
// concurrent use.
type lately struct {
	mu    sync.Mutex
	dir   string   // made when first needed
	order []string // of their names, the oldest first
}

func (l *lately) path(id string) string { return filepath.Join(l.dir, id) }

// put holds a circuit file by its name, and lets go of the oldest.
func (l *lately) put(id string, file []byte) error {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	if err != nil {
		return err
	}
	if _, err := z.Write(file); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.dir == "" {
		if l.dir, err = os.MkdirTemp("", "loopwright-plans"); err != nil {
			return fmt.Errorf("a plan can't be held until it is printed: %w", err)
		}
	}
	if slices.Contains(l.order, id) {
		return nil // the same request, and the same bytes
	}
	if err := os.WriteFile(l.path(id), b.Bytes(), 0o600); err != nil {
		return errors.Join(fmt.Errorf("a plan can't be held until it is printed: %w", err), os.RemoveAll(l.path(id)))
	}
	if l.order = append(l.order, id); len(l.order) > mostLately {
		_ = os.Remove(l.path(l.order[0])) // nobody asks for it by name any longer
		l.order = l.order[1:]
	}
	return nil
}

// get gives a file that is held.
func (l *lately) get(id string) (file []byte, ok bool, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !slices.Contains(l.order, id) {
		return nil, false, nil
	}
	f, err := os.Open(l.path(id))
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, false, err
	}
	file, err = io.ReadAll(z)
	return file, err == nil, err
}

// close lets go of all.
func (l *lately) close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.dir == "" {
		return nil
	}
	return os.RemoveAll(l.dir)
}
