//go:build unix

package sectionfile

import (
	"os"

	"golang.org/x/sys/unix"
)

const canMap = true

func mapFile(file *os.File, size int) ([]byte, error) {
	return unix.Mmap(int(file.Fd()), 0, size, unix.PROT_READ, unix.MAP_SHARED)
}

func unmap(data []byte) error { return unix.Munmap(data) }
