//go:build !long

package notes

// How much the tests of what others do to the file do; more with the build tag
// "long".
const (
	kills         = 8
	pairSeconds   = 2
	histories     = 6
	historyLength = 40
	seeds         = 3
)
