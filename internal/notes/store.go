package notes

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"

	_ "modernc.org/sqlite" // the driver "sqlite"
)

// Store is the notes of one person: one SQLite file. It may be open in several
// programs at once, and is safe for concurrent use.
//
// What a method acknowledges is on the disk: a rollback journal, which leaves
// one whole file behind it, and synchronous writes of all three: journal, file
// and folder. A program that is ended in the middle of a write leaves the
// journal, and whoever opens the file next rolls it back.
type Store struct {
	path string

	mu     sync.Mutex
	db     *sql.DB // nil while there is no file
	writes int64   // by this Store
}

// application is "LpwN": which SQLite files are ours.
const (
	application = 0x4c70774e
	schemaNow   = 1
)

const schema = `
CREATE TABLE revision (name BLOB PRIMARY KEY, note BLOB NOT NULL, ms INTEGER NOT NULL, count INTEGER NOT NULL, body BLOB NOT NULL) WITHOUT ROWID;
CREATE INDEX revision_note ON revision (note);
CREATE TABLE batch (id INTEGER PRIMARY KEY AUTOINCREMENT, file TEXT NOT NULL, day TEXT NOT NULL);
CREATE TABLE brought (batch INTEGER NOT NULL, name BLOB NOT NULL, PRIMARY KEY (batch, name)) WITHOUT ROWID;
CREATE INDEX brought_name ON brought (name);
CREATE TABLE note (id BLOB PRIMARY KEY, current BLOB NOT NULL, deleted INTEGER NOT NULL, cell INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE cell (id INTEGER PRIMARY KEY, packed BLOB NOT NULL);
CREATE TABLE clock (ms INTEGER NOT NULL, count INTEGER NOT NULL);
INSERT INTO clock VALUES (0, 0);
CREATE TABLE own (author TEXT NOT NULL);
INSERT INTO own VALUES ('');
`

// waitMs is how long a program waits for another to finish writing. Our
// choice: the longest import takes some seconds. Tests wait less.
var waitMs = 15_000

// Open opens the notes at a path. Where there is no file there are no notes,
// and none is made before something is written.
func Open(path string) (*Store, error) {
	s := &Store{path: path}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.connect(false); err != nil {
		return nil, err
	}
	return s, nil
}

// Path is where the notes are.
func (s *Store) Path() string { return s.path }

// Close lets go of the file.
func (s *Store) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.db == nil {
		return nil
	}
	db := s.db
	s.db = nil
	return db.Close()
}

// connect opens the file if that is not done; with make it makes one where
// there is none. After it s.db is nil only where there is no file.
func (s *Store) connect(make bool) error {
	if s.db != nil {
		return nil
	}
	if _, err := os.Stat(s.path); errors.Is(err, fs.ErrNotExist) {
		if !make {
			return nil
		}
		if err := os.MkdirAll(filepath.Dir(s.path), 0o700); err != nil {
			return &Fault{Path: s.path, Reason: ErrReadOnly, Err: err}
		}
	} else if err != nil {
		return &Fault{Path: s.path, Reason: ErrReadOnly, Err: err}
	}
	db, err := sql.Open("sqlite", source(s.path, make))
	if err != nil {
		return s.fault(err)
	}
	db.SetMaxOpenConns(1)
	if err := s.inspect(db); err != nil {
		db.Close()
		return err
	}
	s.db = db
	return nil
}

// source names the file to the driver.
func source(path string, make bool) string {
	mode := "rw"
	if make {
		mode = "rwc"
	}
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	u := url.URL{Scheme: "file", Path: path}
	return fmt.Sprintf("%s?mode=%s&_txlock=immediate&_pragma=busy_timeout(%d)&_pragma=synchronous(EXTRA)", u.String(), mode, waitMs)
}

// inspect looks whether the file is ours.
func (s *Store) inspect(db *sql.DB) error {
	var app, version, tables int
	for _, q := range []struct {
		text string
		to   *int
	}{{"PRAGMA application_id", &app}, {"PRAGMA user_version", &version}, {"SELECT count(*) FROM sqlite_schema", &tables}} {
		if err := db.QueryRow(q.text).Scan(q.to); err != nil {
			return s.fault(err)
		}
	}
	switch {
	case app == 0 && version == 0 && tables == 0:
		return nil // nothing was written yet
	case app != application:
		return &Fault{Path: s.path, Reason: ErrNotOurs}
	case version != schemaNow:
		return &Fault{Path: s.path, Reason: ErrOtherVersion}
	}
	return nil
}

// found makes the tables in a file that has none.
func found(tx *sql.Tx) error {
	var tables int
	if err := tx.QueryRow("SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil || tables > 0 {
		return err
	}
	if _, err := tx.Exec(schema); err != nil {
		return err
	}
	_, err := tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", application, schemaNow))
	return err
}

// write does work in one transaction: all of it or nothing.
func (s *Store) write(work func(*sql.Tx) error) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.connect(true); err != nil {
		return err
	}
	tx, err := s.db.Begin()
	if err != nil {
		return s.fault(err)
	}
	defer tx.Rollback()
	if err := found(tx); err != nil {
		return s.fault(err)
	}
	if err := work(tx); err != nil {
		return s.fault(err)
	}
	if err := tx.Commit(); err != nil {
		return s.fault(err)
	}
	s.writes++
	return nil
}

// read does work on one state of the notes; it is not called where nothing was
// written yet.
func (s *Store) read(work func(*sql.Conn) error) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.connect(false); err != nil || s.db == nil {
		return err
	}
	ctx := context.Background()
	conn, err := s.db.Conn(ctx)
	if err != nil {
		return s.fault(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, "BEGIN DEFERRED"); err != nil {
		return s.fault(err)
	}
	defer conn.ExecContext(ctx, "ROLLBACK")
	var tables int
	if err := conn.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
		return s.fault(err)
	}
	if tables == 0 {
		return nil
	}
	if err := work(conn); err != nil {
		return s.fault(err)
	}
	return nil
}

// Version differs whenever the notes may have changed since it was last asked,
// by this program or another. It holds for one Store.
func (s *Store) Version() ([2]int64, error) {
	var v int64
	err := s.read(func(c *sql.Conn) error {
		return c.QueryRowContext(context.Background(), "PRAGMA data_version").Scan(&v)
	})
	return [2]int64{v, s.writes}, err
}
