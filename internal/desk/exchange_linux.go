package desk

import "golang.org/x/sys/unix"

// exchange puts one folder in the place of another, and that in its own, at once;
// where the file system can't, one after the other.
func exchange(beside, path string) error {
	if unix.Renameat2(unix.AT_FDCWD, beside, unix.AT_FDCWD, path, unix.RENAME_EXCHANGE) == nil {
		return nil
	}
	return swap(beside, path)
}
