package cli

import (
	"errors"
	"fmt"
	"strings"

	"loopwright/internal/desk"
)

// An exitStatus is what the program ends with. The help of every command is
// made from the same table.
type exitStatus struct {
	code    int
	kind    desk.FaultKind
	meaning string
}

const (
	exitDone     = 0
	exitNo       = 1
	exitWrongUse = 2
	exitBadInput = 3
	exitInternal = 4
)

var exitStatuses = []exitStatus{
	{exitNo, desk.AnswerIsNo, "the answer is no: nothing found, a wish that can't be met, a circuit that no longer holds"},
	{exitWrongUse, desk.WrongUse, "wrong use: the command or a place was not understood"},
	{exitBadInput, desk.BadInput, "bad input: a file is missing, damaged or not what it should be"},
	{exitInternal, desk.FaultUnknown, "a fault of the program"},
}

func exitHelp() string {
	var b strings.Builder
	b.WriteString("Exit status:\n  0  done\n")
	for _, s := range exitStatuses {
		fmt.Fprintf(&b, "  %d  %s\n", s.code, s.meaning)
	}
	return strings.TrimRight(b.String(), "\n")
}

// statusOf is the exit status that an error stands for.
func statusOf(err error) int {
	if err == nil {
		return exitDone
	}
	kind := desk.FaultUnknown
	var f *desk.Fault
	if errors.As(err, &f) {
		kind = f.Kind
	}
	for _, s := range exitStatuses {
		if s.kind == kind {
			return s.code
		}
	}
	return exitInternal
}
