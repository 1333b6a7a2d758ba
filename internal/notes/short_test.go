//go:build !long

package notes

// How much the tests of what others do to the file do; more with the build tag
// "long".
const (
	kills         = 5
	pairSeconds   = 1
	histories     = 3
	historyLength = 40
	seeds         = 2
)
