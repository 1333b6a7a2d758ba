package cli

import (
	"os"

	"github.com/inconshreveable/mousetrap"
)

// startedByDesktop asks whether the file manager started the program: Windows
// then gives it a console of its own.
func startedByDesktop(*os.File) bool { return mousetrap.StartedByExplorer() }
