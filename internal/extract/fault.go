package extract

import (
	"errors"
	"fmt"
)

// Fault is what is wrong with a file, and where.
type Fault struct {
	File   string // base name
	Block  int    // of an .osm.pbf, from 1, its header's; 0 in other files
	Offset int64  // byte at which the block begins; in other files about where reading stopped, counted after unpacking
	Err    error
}

// Error says file, place and fault.
func (f *Fault) Error() string {
	if f.Block == 0 {
		return fmt.Sprintf("read %s: near byte %d: %v", f.File, f.Offset, f.Err)
	}
	return fmt.Sprintf("read %s: block %d at byte %d: %v", f.File, f.Block, f.Offset, f.Err)
}

// Unwrap gives the fault without its place.
func (f *Fault) Unwrap() error { return f.Err }

// What a caller may want to tell apart with errors.Is.
var (
	// ErrTruncated is a file that ends too early.
	ErrTruncated = errors.New("the file ends too early: it was cut short, so fetch it again")
	// ErrHistory is a file with every version of each object.
	ErrHistory = errors.New("this is a history file: make an extract of its latest state first")
	// ErrNotOSM is a file of some other kind.
	ErrNotOSM = errors.New("this is not an OpenStreetMap file")
	// ErrExpands is a file that unpacks to far more than any map does.
	ErrExpands = errors.New("this unpacks to far more than any map does: it is damaged or made to do harm")
)
