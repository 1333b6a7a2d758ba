//go:build !unix

package desk

// isReadOnly: elsewhere a folder that can't be written is a matter of
// permission, which the caller asks about itself.
func isReadOnly(error) bool { return false }
