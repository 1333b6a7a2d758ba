//go:build !unix

package notes

func limitFiles() {}
