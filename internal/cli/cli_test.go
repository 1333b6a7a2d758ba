package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"loopwright/data"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"loopwright": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			os.Exit(Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// Each script is one story of an instructor, and says what they see.
func TestStories(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_CACHE_HOME", filepath.Join(e.WorkDir, "cache"))
			e.Setenv("LOOPWRIGHT_DIR", filepath.Join(e.WorkDir, "data"))
			town, err := data.Demo.ReadFile("demo/town.osm.pbf")
			if err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(e.WorkDir, "town.osm.pbf"), town, 0o644)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"cut":   cut,
		},
	})
}

// exits runs loopwright and wants an exit status: exits 3 index x.osm.pbf
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 1 {
		ts.Fatalf("usage: exits STATUS ARGS...")
	}
	got := 0
	var ended *exec.ExitError
	if err := ts.Exec("loopwright", args[1:]...); errors.As(err, &ended) {
		got = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if want := args[0]; fmt.Sprint(got) != want {
		ts.Fatalf("exit status %d, want %s", got, want)
	}
}

// cut shortens a file to a number of bytes: cut FILE BYTES
func cut(ts *testscript.TestScript, neg bool, args []string) {
	var n int64
	if _, err := fmt.Sscan(args[1], &n); err != nil {
		ts.Fatalf("%v", err)
	}
	ts.Check(os.Truncate(ts.MkAbs(args[0]), n))
}

// Every command's help lists every exit status of the table, and every command
// has --json.
func TestHelpIsWhole(t *testing.T) {
	root := newRoot(streams{strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}})
	for _, c := range root.Commands() {
		if c.Name() == "help" {
			continue
		}
		for _, s := range exitStatuses {
			if !strings.Contains(c.Long, s.meaning) {
				t.Errorf("%s --help does not say exit status %d", c.Name(), s.code)
			}
		}
	}
}

func TestStatusOfUnknownCommand(t *testing.T) {
	var out, errs bytes.Buffer
	if got := Run(context.Background(), []string{"fly"}, strings.NewReader(""), &out, &errs); got != exitWrongUse {
		t.Errorf("exit status %d, want %d: %s", got, exitWrongUse, errs.String())
	}
}

func TestJSONIsOneValue(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("LOOPWRIGHT_DIR", filepath.Join(dir, "data"))
	town, err := data.Demo.ReadFile("demo/town.osm.pbf")
	if err != nil {
		t.Fatal(err)
	}
	extract, index := filepath.Join(dir, "town.osm.pbf"), filepath.Join(dir, "town.idx")
	if err := os.WriteFile(extract, town, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"index", extract, "--country", "gb", "--json"},
		{"places", "--index", index, "--exercise", "turn-in-the-road", "--near", "Merrack Avenue & Harrowmere Road", "--json"},
		{"places", "--index", index, "--exercise", "turn-in-the-road", "--near", "Merrack Avenue & Harrowmere Road", "--geojson"},
		{"why", "--index", index, "--exercise", "turn-in-the-road", "--at", "Merrack Avenue & Harrowmere Road", "--json"},
		{"plan", "--index", index, "--exercise", "turn-in-the-road", "--from", "Merrack Avenue & Harrowmere Road", "--when", "2027-03-04 10:00", "--json"},
	} {
		var out, errs bytes.Buffer
		if got := Run(context.Background(), args, strings.NewReader(""), &out, &errs); got != 0 {
			t.Fatalf("%v: exit status %d: %s", args, got, errs.String())
		}
		if !json.Valid(out.Bytes()) {
			t.Errorf("%v: not one JSON value", args)
		}
		if errs.Len() > 0 {
			t.Errorf("%v: on standard error: %s", args, errs.String())
		}
	}
}
