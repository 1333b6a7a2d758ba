//go:build unix

package notes

import (
	"os"
	"os/signal"
	"strconv"
	"syscall"
)

// limitFiles bounds how large a file the writer may make, where asked.
func limitFiles() {
	if most, err := strconv.ParseUint(os.Getenv("LOOPWRIGHT_NOTES_LIMIT"), 10, 64); err == nil {
		signal.Ignore(syscall.SIGXFSZ)
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most}); err != nil {
			panic(err)
		}
	}
}
