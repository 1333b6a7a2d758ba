// Command verify runs every check of the repository: formatting, vet,
// staticcheck, the tests, the tests of what runs in parallel again with the race
// detector, and a short fuzz of each fuzz target. With -long it also runs the
// tests that take longer (build tag "long") and the benchmarks; their figures
// belong in DEVELOPERS.md.
//
// With LOOPWRIGHT_SKIP_NOTHING set, a skipped test is a failure.
package main

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

func main() {
	long := flag.Bool("long", false, "also the tests and benchmarks that take longer")
	fuzz := flag.Duration("fuzz", 3*time.Second, "time for each fuzz target")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	v := verifier{ctx: ctx}
	v.step("gofmt", v.formatting)
	v.step("vet", v.tool("vet", "./..."))
	v.step("staticcheck", v.tool("tool", "staticcheck", "./..."))
	v.step("tests", v.tests("-timeout", "15m", "./..."))
	v.step("race", v.race)
	v.step("fuzz", func() error { return v.fuzz(*fuzz) })
	if *long {
		v.step("long tests", v.tests("-tags", "long", "-timeout", "3h", "./..."))
		v.step("benchmarks", v.tool("test", "-run", "^$", "-bench", ".", "-benchtime", "3x", "./..."))
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", v.passed, v.failed, len(v.skipped))
	if v.bad {
		os.Exit(1)
	}
}

type verifier struct {
	ctx            context.Context
	passed, failed int
	skipped        []string
	bad            bool
}

// step runs one check and says how it went.
func (v *verifier) step(name string, check func() error) {
	began := time.Now()
	if err := check(); err != nil {
		v.bad = true
		fmt.Printf("FAIL %s: %v\n", name, err)
		return
	}
	fmt.Printf("ok   %s (%.0f s)\n", name, time.Since(began).Seconds())
}

func (v *verifier) formatting() error {
	out, err := exec.CommandContext(v.ctx, "gofmt", "-l", "cmd", "internal", "data").CombinedOutput()
	if err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	if len(out) > 0 {
		return fmt.Errorf("these need gofmt: %s", strings.Join(strings.Fields(string(out)), ", "))
	}
	return nil
}

// tool runs the go command and shows what it prints.
func (v *verifier) tool(args ...string) func() error {
	return func() error {
		c := exec.CommandContext(v.ctx, "go", args...)
		c.Stdout, c.Stderr = os.Stdout, os.Stderr
		return c.Run()
	}
}

// race runs the tests of the packages that start goroutines with the race
// detector, which finds nothing elsewhere and makes tests ten times slower;
// -short leaves out what only takes longer. Benchmarks are not run there, so
// their goroutines do not count.
func (v *verifier) race() error {
	var packages []string
	err := filepath.WalkDir("internal", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "bench_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if startsGoroutine(n) {
				packages = append(packages, "./"+filepath.ToSlash(filepath.Dir(path)))
			}
			return true
		})
		return nil
	})
	if err != nil {
		return err
	}
	slices.Sort(packages)
	c := exec.CommandContext(v.ctx, "go", append([]string{"test", "-race", "-short", "-timeout", "15m"}, slices.Compact(packages)...)...)
	c.Stdout, c.Stderr = os.Stdout, os.Stderr
	return c.Run()
}

// startsGoroutine says whether a piece of source is a go statement, or gives a
// function to the Go method of a group.
func startsGoroutine(n ast.Node) bool {
	if _, ok := n.(*ast.GoStmt); ok {
		return true
	}
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) != 1 {
		return false
	}
	method, ok := call.Fun.(*ast.SelectorExpr)
	_, function := call.Args[0].(*ast.FuncLit)
	return ok && function && method.Sel.Name == "Go"
}

// event is a line of go test -json.
type event struct{ Action, Package, Test, Output string }

// tests runs go test and prints each package's line, the output of what
// failed, and the reason of what was skipped.
func (v *verifier) tests(args ...string) func() error {
	return func() error {
		c := exec.CommandContext(v.ctx, "go", append([]string{"test", "-json"}, args...)...)
		c.Stderr = os.Stderr
		out, err := c.StdoutPipe()
		if err != nil {
			return err
		}
		if err := c.Start(); err != nil {
			return err
		}
		v.read(out)
		if err := c.Wait(); err != nil {
			return err
		}
		if len(v.skipped) > 0 && os.Getenv("LOOPWRIGHT_SKIP_NOTHING") != "" {
			return fmt.Errorf("nothing may be skipped here, and %d were: %s", len(v.skipped), strings.Join(v.skipped, ", "))
		}
		return nil
	}
}

func (v *verifier) read(out io.Reader) {
	said := map[string][]string{}
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<22)
	for lines.Scan() {
		var e event
		if json.Unmarshal(lines.Bytes(), &e) != nil {
			fmt.Println(lines.Text())
			continue
		}
		name := e.Package + " " + e.Test
		switch e.Action {
		case "output", "build-output":
			if e.Test == "" {
				if !strings.HasPrefix(e.Output, "=== ") && e.Output != "PASS\n" {
					fmt.Print(e.Output)
				}
			} else {
				said[name] = append(said[name], e.Output)
			}
		case "pass":
			if e.Test != "" {
				v.passed++
			}
			delete(said, name)
		case "skip":
			if e.Test != "" {
				v.skipped = append(v.skipped, name)
				fmt.Print(strings.Join(said[name], ""))
			}
		case "fail":
			if e.Test != "" {
				v.failed++
				fmt.Print(strings.Join(said[name], ""))
			}
		}
	}
	if err := lines.Err(); err != nil {
		v.bad = true
		fmt.Println("reading the tests' output:", err)
	}
}

var fuzzTarget = regexp.MustCompile(`^Fuzz\w*$`)

// fuzz runs each fuzz target for a while.
func (v *verifier) fuzz(each time.Duration) error {
	list := exec.CommandContext(v.ctx, "go", "test", "-list", "^Fuzz", "-json", "./...")
	list.Stderr = os.Stderr
	out, err := list.Output()
	if err != nil {
		return err
	}
	var targets [][2]string
	for line := range strings.Lines(string(out)) {
		var e event
		if json.Unmarshal([]byte(line), &e) == nil && fuzzTarget.MatchString(strings.TrimSpace(e.Output)) {
			targets = append(targets, [2]string{e.Package, strings.TrimSpace(e.Output)})
		}
	}
	slices.SortFunc(targets, func(a, b [2]string) int { return slices.Compare(a[:], b[:]) })
	for _, t := range targets {
		fmt.Printf("fuzz %s %s\n", t[0], t[1])
		c := exec.CommandContext(v.ctx, "go", "test", "-run", "^$", "-fuzz", "^"+t[1]+"$", "-fuzztime", each.String(), t[0])
		if out, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("%s %s: %w\n%s", t[0], t[1], err, out)
		}
	}
	return nil
}
