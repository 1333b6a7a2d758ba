// Package desk answers every question once, for the command line and for the
// page: an open network with what belongs to it, and the answers as values with
// their JSON. The packages below it know roads; those above it only print.
package desk

import (
	"errors"
	"fmt"
)

// FaultKind says whose turn it is after an error: the person's, to ask
// otherwise or to mend a file, or ours.
type FaultKind uint8

const (
	FaultUnknown FaultKind = iota // ours
	AnswerIsNo                    // a true answer: nothing found, a wish that can't be met
	WrongUse                      // the request makes no sense as asked
	BadInput                      // a file is not what it should be
	faultKindCount
)

// String is the kind's name.
func (k FaultKind) String() string {
	return [...]string{"internal", "no", "wrong use", "bad input"}[k]
}

// Fault is an error with whose turn it is and what to do next.
type Fault struct {
	Kind FaultKind
	Err  error
	Hint string // what to do next, a sentence; "" if Err says it all
	// BestPossible is what could be had instead, for --json; nil where that
	// makes no sense.
	BestPossible any
}

func (f *Fault) Error() string { return f.Err.Error() }
func (f *Fault) Unwrap() error { return f.Err }

// ErrStopped is the answer to a question that nobody waits for any longer.
var ErrStopped = errors.New("stopped: nobody waits for the answer any longer")

func fault(kind FaultKind, hint, format string, args ...any) *Fault {
	return &Fault{Kind: kind, Err: fmt.Errorf(format, args...), Hint: hint}
}
