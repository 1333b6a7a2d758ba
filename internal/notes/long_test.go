//go:build long

package notes

// How much the tests of what others do to the file do.
const (
	kills         = 200
	pairSeconds   = 60
	histories     = 100
	historyLength = 120
	seeds         = 40
)
