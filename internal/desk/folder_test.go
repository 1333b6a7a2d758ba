package desk

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// writer is the variable that makes a test a writer of surveys into a folder.
const writer = "LOOPWRIGHT_SURVEY_WRITER"

func stamped(n int) (files []SurveyFile) {
	for _, name := range surveyFiles {
		files = append(files, SurveyFile{name, bytes.Repeat(fmt.Appendf(nil, "%8d", n), 20_000)})
	}
	return files
}

// TestMain writes surveys without end where TestSurveyFolderWhenKilled starts it for
// that, else it runs the tests.
func TestMain(m *testing.M) {
	folder := os.Getenv(writer)
	if folder == "" {
		os.Exit(m.Run())
	}
	for n := 1; ; n++ {
		if err := writeFolder(folder, surveyFiles, stamped(n)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

// A program that is killed while it writes leaves a whole survey, the one before
// or the new one.
func TestSurveyFolderWhenKilled(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(t.TempDir(), "survey")
	if err := writeFolder(folder, surveyFiles, stamped(0)); err != nil {
		t.Fatal(err)
	}
	const seed, kills = 4, 20
	random := rand.New(rand.NewPCG(seed, 1))
	seen := map[string]bool{}
	for round := range kills {
		c := exec.Command(self)
		c.Env = append(os.Environ(), writer+"="+folder)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(100+random.IntN(200)) * time.Millisecond)
		c.Process.Kill()
		c.Wait() // killed, so never without an error
		var first []byte
		for _, name := range surveyFiles {
			content, err := os.ReadFile(filepath.Join(folder, name))
			if err != nil {
				t.Fatalf("seed %d, round %d: %v", seed, round, err)
			}
			if first == nil {
				first = content
				seen[string(content[:8])] = true
			}
			if len(content) != 160_000 || !bytes.Equal(content, first) {
				t.Fatalf("seed %d, round %d: %s is of another survey, or not whole", seed, round, name)
			}
		}
	}
	if len(seen) < 2 {
		t.Errorf("seed %d: nothing was written before a kill", seed)
	}
}

// What is no survey stays as it is, and a survey leaves none of the one before it.
func TestSurveyFolder(t *testing.T) {
	dir := t.TempDir()
	read := func(folder string) (names []string) {
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	folder := filepath.Join(dir, "new", "survey")
	for _, n := range []int{4, 2, 4} {
		if err := writeFolder(folder, surveyFiles, stamped(n)[:n]); err != nil {
			t.Fatal(err)
		}
		if got := read(folder); len(got) != n {
			t.Errorf("the folder holds %v, want %d files", got, n)
		}
	}
	if got := read(filepath.Dir(folder)); len(got) != 1 {
		t.Errorf("beside the folder is left %v", got)
	}
	mine := filepath.Join(folder, "shopping.txt")
	if err := os.WriteFile(mine, []byte("milk"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := writeFolder(folder, surveyFiles, stamped(9)); err == nil || !strings.Contains(err.Error(), "shopping.txt") {
		t.Errorf("a folder with something else in it: %v", err)
	}
	if got := read(folder); len(got) != 5 {
		t.Errorf("a folder that was refused holds %v", got)
	}
	for name, path := range map[string]string{"a file": mine, "in a file": filepath.Join(mine, "survey")} {
		if err := writeFolder(path, surveyFiles, stamped(9)); err == nil {
			t.Errorf("%s was taken for a folder", name)
		}
	}
}
