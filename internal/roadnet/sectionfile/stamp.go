package sectionfile

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
)

// A stamp is a small file in the user's cache folder, one per path, that holds
// the identity of the file last found good there. Without a cache folder
// nothing is remembered and files are verified at each opening.

func stampPath(path string) (string, bool) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", false
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return "", false
	}
	sum := sha256.Sum256([]byte(absolute))
	return filepath.Join(cache, "loopwright", "verified", hex.EncodeToString(sum[:16])), true
}

func remembered(path, identity string) bool {
	stamp, ok := stampPath(path)
	if !ok {
		return false
	}
	b, err := os.ReadFile(stamp)
	return err == nil && string(b) == identity
}

// remember may fail in silence: the cost is one more verification.
func remember(path, identity string) {
	stamp, ok := stampPath(path)
	if !ok {
		return
	}
	if os.MkdirAll(filepath.Dir(stamp), 0o755) != nil {
		return
	}
	temp, err := os.CreateTemp(filepath.Dir(stamp), ".stamp*")
	if err != nil {
		return
	}
	_, err = temp.WriteString(identity)
	if e := temp.Close(); err == nil {
		err = e
	}
	if err != nil || os.Rename(temp.Name(), stamp) != nil {
		os.Remove(temp.Name())
	}
}
