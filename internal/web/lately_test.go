package web

import (
	"fmt"
	"os"
	"testing"
)

// As many plans are held as there is room for, the latest ones, and none longer
// than the program runs.
func TestLately(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	var l lately
	const more = 3
	for i := range mostLately + more {
		for range 2 { // twice is once
			if err := l.put(fmt.Sprint(i), fmt.Appendf(nil, "plan %d", i)); err != nil {
				t.Fatal(err)
			}
		}
	}
	for i := range mostLately + more {
		file, held, err := l.get(fmt.Sprint(i))
		if err != nil || held != (i >= more) || held && string(file) != fmt.Sprintf("plan %d", i) {
			t.Fatalf("plan %d: %q, %v, %v", i, file, held, err)
		}
	}
	if files, err := os.ReadDir(l.dir); err != nil || len(files) != mostLately {
		t.Errorf("%d files, %v", len(files), err)
	}
	if err := l.close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(l.dir); !os.IsNotExist(err) {
		t.Errorf("the folder is still there: %v", err)
	}
}
