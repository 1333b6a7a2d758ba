package desk

import (
	"os"
	"path/filepath"
)

// WriteFile writes a file whole or not at all: beside it first, then renamed.
func WriteFile(path string, data []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name a file in a folder that can be written."}
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
			err = &Fault{Kind: BadInput, Err: err}
		}
	}()
	if _, err = f.Write(data); err != nil {
		f.Close()
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		f.Close()
		return err
	}
	if err = f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
