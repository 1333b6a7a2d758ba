package desk

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// DataFolder is where what users make is kept: LOOPWRIGHT_DIR, or else the
// system's custom (on Linux the XDG Base Directory Specification 0.8). It may
// not be there yet.
func DataFolder() (string, error) {
	if dir := os.Getenv("LOOPWRIGHT_DIR"); dir != "" {
		return dir, nil
	}
	base, err := dataBase()
	if err != nil {
		return "", &Fault{Kind: BadInput, Err: err, Hint: "Say where plans may be kept with LOOPWRIGHT_DIR."}
	}
	return filepath.Join(base, "loopwright"), nil
}

func dataBase() (string, error) {
	switch runtime.GOOS {
	case "windows":
		if dir := os.Getenv("LocalAppData"); dir != "" {
			return dir, nil
		}
		return "", errors.New("%LocalAppData% is not set")
	case "darwin":
		home, err := os.UserHomeDir()
		return filepath.Join(home, "Library", "Application Support"), err
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share"), err
}
