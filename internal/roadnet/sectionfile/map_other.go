//go:build !unix

package sectionfile

import "os"

// Elsewhere files are read whole: a mapped file can't be replaced by a rename
// on Windows while it is open.
const canMap = false

func mapFile(*os.File, int) ([]byte, error) { panic("bug: files are not mapped on this system") }

func unmap([]byte) error { return nil }
