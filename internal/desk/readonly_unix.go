//go:build unix

package desk

import (
	"errors"
	"syscall"
)

// isReadOnly is true for a file system that can't be written at all.
func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }
