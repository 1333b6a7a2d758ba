package cli

import (
	"bufio"
	"fmt"
	"os"

	"github.com/inconshreveable/mousetrap"
)

// desktopHint is for whoever sees the window that Windows opens for the program.
const desktopHint = "Loopwright opens in your browser. It runs until you close this window."

// startedByDesktop asks whether the file manager started the program: Windows
// then gives it a console of its own.
func startedByDesktop(_, _, _ *os.File) bool { return mousetrap.StartedByExplorer() }

// holdWindow keeps the program's own window open until what it says was read.
func holdWindow(s streams) {
	fmt.Fprintln(s.err, "Press Enter to close this window.")
	_, _ = bufio.NewReader(s.in).ReadString('\n')
}
