//go:build !windows

package cli

import "os"

// desktopHint is for whoever reads what a program says that a desktop started.
const desktopHint = "Loopwright opens in the browser, and runs until it is told to stop."

// startedByDesktop: a desktop gives a program neither a terminal nor a pipe to
// read from, but the null device.
func startedByDesktop(in, out, errs *os.File) bool {
	if isTerminal(in) || isTerminal(out) || isTerminal(errs) {
		return false
	}
	info, err := in.Stat()
	null, nullErr := os.Stat(os.DevNull)
	return err == nil && nullErr == nil && os.SameFile(info, null)
}

// holdWindow has nothing to hold: only Windows opens a window for a program.
func holdWindow(streams) {}
