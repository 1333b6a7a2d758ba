package notes

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// What can be wrong with the file of notes; tell them apart with errors.Is.
var (
	ErrLocked       = errors.New("another program is still writing")
	ErrDamaged      = errors.New("the file is damaged, or holds no notes")
	ErrNotOurs      = errors.New("the file is a database, but holds no notes")
	ErrOtherVersion = errors.New("the file is of another version of this program")
	ErrFull         = errors.New("the disk is full")
	ErrReadOnly     = errors.New("the file or its folder can't be written")
	ErrDisk         = errors.New("the disk could not be read or written")
)

// mends say what to do.
var mends = map[error]string{
	ErrLocked:       "try again when it is done, or close it",
	ErrDamaged:      "put a copy in its place, or move it away and import what you exported",
	ErrNotOurs:      "move it away",
	ErrOtherVersion: "use the version that wrote it",
	ErrFull:         "make room and do it again",
	ErrReadOnly:     "let it be written, or say with LOOPWRIGHT_DIR where notes may be",
	ErrDisk:         "see to the disk and do it again",
}

// Fault says what is wrong with the file of notes, and what to do. Whatever was
// noted before is still there.
type Fault struct {
	Path   string
	Reason error // one of the above
	Err    error // what was reported below it, nil for nothing
}

// Error is one sentence.
func (f *Fault) Error() string {
	return fmt.Sprintf("notes %s: %v: %s", f.Path, f.Reason, mends[f.Reason])
}

// Unwrap gives both, so that errors.Is finds the reason.
func (f *Fault) Unwrap() []error {
	if f.Err == nil {
		return []error{f.Reason}
	}
	return []error{f.Reason, f.Err}
}

// fault turns what SQLite reports into a sentence; what it does not come from
// stays as it is. Codes: "Result and Error Codes", SQLite documentation.
func (s *Store) fault(err error) error {
	var already *Fault
	var e *sqlite.Error
	switch {
	case err == nil || errors.As(err, &already):
		return err
	case errors.Is(err, ErrDamaged):
		return &Fault{Path: s.path, Reason: ErrDamaged, Err: err}
	case !errors.As(err, &e):
		return err
	}
	reason := ErrDisk
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		reason = ErrLocked
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		reason = ErrDamaged
	case sqlite3.SQLITE_FULL:
		reason = ErrFull
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH:
		reason = ErrReadOnly
	case sqlite3.SQLITE_IOERR:
	default:
		return fmt.Errorf("notes %s: %w", s.path, err)
	}
	return &Fault{Path: s.path, Reason: reason, Err: err}
}
