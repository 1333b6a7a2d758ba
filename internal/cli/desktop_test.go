//go:build linux

package cli

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"loopwright/internal/web"
)

// A desktop starts a program with the null device to read from; a terminal, a
// pipe or a file means that somebody else did.
func TestStartedByDesktop(t *testing.T) {
	open := func(path string) *os.File {
		f, err := os.OpenFile(path, os.O_RDWR|syscall.O_NOCTTY, 0)
		if err != nil {
			t.Skipf("%s can't be opened here: %v", path, err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	null, terminal := open(os.DevNull), open("/dev/ptmx")
	file, err := os.CreateTemp(t.TempDir(), "log")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	pipe, other, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer pipe.Close()
	defer other.Close()
	for name, c := range map[string]struct {
		in, out, errs *os.File
		want          bool
	}{
		"desktop":                   {null, null, null, true},
		"desktop that keeps a log":  {null, file, file, true},
		"terminal":                  {terminal, terminal, terminal, false},
		"terminal, nothing to read": {null, terminal, terminal, false},
		"terminal, output to file":  {null, file, terminal, false},
		"script with a pipe":        {pipe, file, file, false},
		"script with a file":        {file, file, file, false},
	} {
		if got := startedByDesktop(c.in, c.out, c.errs); got != c.want {
			t.Errorf("%s: %t, want %t", name, got, c.want)
		}
	}
}

// Double-clicked, the program serves its page, opens the browser on it, and ends
// cleanly when it is told to.
func TestDoubleClicked(t *testing.T) {
	if _, err := web.Built(); err != nil {
		t.Skipf("%v: there is nothing to serve", err)
	}
	dir := t.TempDir()
	seen := filepath.Join(dir, "seen")
	browser := "#!/bin/sh\nprintf %s \"$1\" > " + seen + ".part && mv " + seen + ".part " + seen + "\n"
	if err := os.WriteFile(filepath.Join(dir, "xdg-open"), []byte(browser), 0o755); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("loopwright") // with nothing to read from: the null device
	c.Env = append(os.Environ(), "PATH="+dir+":"+os.Getenv("PATH"), "LOOPWRIGHT_DIR="+dir, "XDG_CACHE_HOME="+dir)
	var said bytes.Buffer
	c.Stdout, c.Stderr = &said, &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	var at []byte
	for end := time.Now().Add(time.Minute); at == nil && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		at, _ = os.ReadFile(seen) // not there yet
	}
	resp, err := http.Get(string(at))
	if err != nil {
		_ = c.Process.Kill()
		t.Fatalf("the browser was sent to %q: %v", at, err)
	}
	page, err := io.ReadAll(resp.Body)
	resp.Body.Close()
	if err != nil || !strings.Contains(string(page), "<title>Loopwright</title>") {
		t.Errorf("at %s is %v %.200s", at, err, page)
	}
	if err := c.Process.Signal(syscall.SIGTERM); err != nil {
		t.Error(err)
	}
	if err := <-ended; err != nil {
		t.Errorf("told to stop it ended with %v: %s", err, said.String())
	}
}

// In a terminal, or a script, it says how it is used.
func TestWithoutArgumentsItSaysHow(t *testing.T) {
	c := exec.Command("loopwright")
	c.Stdin = strings.NewReader("")
	out, err := c.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "loopwright serve") {
		t.Errorf("%v: %s", err, out)
	}
}
