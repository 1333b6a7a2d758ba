//go:build !linux

package desk

// exchange puts one folder in the place of another, one after the other.
func exchange(beside, path string) error { return swap(beside, path) }
