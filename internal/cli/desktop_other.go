//go:build !windows

package cli

import "os"

// startedByDesktop: a desktop gives a program neither a terminal nor a pipe to
// read from, but the null device.
func startedByDesktop(in *os.File) bool {
	if isTerminal(in) || isTerminal(os.Stdout) || isTerminal(os.Stderr) {
		return false
	}
	info, err := in.Stat()
	null, nullErr := os.Stat(os.DevNull)
	return err == nil && nullErr == nil && os.SameFile(info, null)
}
