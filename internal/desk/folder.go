package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// writeFolder makes a folder of files whole or not at all: beside it first, then
// in its place. A folder that is there is replaced if it holds nothing but files
// of such names, and else left alone.
func writeFolder(folder string, names []string, files []SurveyFile) (err error) {
	path, err := filepath.Abs(folder)
	if err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	there, err := replaceable(path, names)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	beside, err := os.MkdirTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name a folder in one that can be written."}
	}
	defer os.RemoveAll(beside) // or what it was exchanged for
	if err := os.Chmod(beside, 0o755); err != nil {
		return &Fault{Kind: BadInput, Err: err}
	}
	for _, f := range files {
		if err := WriteFile(filepath.Join(beside, f.Name), f.Content); err != nil {
			return err
		}
	}
	if there {
		err = exchange(beside, path)
	} else {
		err = os.Rename(beside, path)
	}
	if err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	return nil
}

// replaceable says whether a folder is there, and refuses one that holds what is
// no file of such a name.
func replaceable(path string, names []string) (there bool, err error) {
	entries, err := os.ReadDir(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, &Fault{Kind: BadInput, Err: err, Hint: "Name another folder with -o."}
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !slices.Contains(names, e.Name()) {
			return false, fault(BadInput, "Name a new folder with -o.", "%s holds %s, which no survey wrote", path, e.Name())
		}
	}
	return true, nil
}

// swap exchanges two folders by way of a third name: for a moment there is none
// at path.
func swap(beside, path string) error {
	old := beside + ".old"
	if err := os.Rename(path, old); err != nil {
		return err
	}
	if err := os.Rename(beside, path); err != nil {
		return errors.Join(err, os.Rename(old, path))
	}
	if err := os.RemoveAll(old); err != nil {
		return fmt.Errorf("the survey before is left in %s: %w", old, err)
	}
	return nil
}
