package internal

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// order reads the import order from DEVELOPERS.md: the code block after the
// heading "Import order", one or more package names a line, earliest first.
func order(t *testing.T) []string {
	t.Helper()
	page, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(page), "Import order\n")
	if !ok {
		t.Fatal("DEVELOPERS.md has no heading \"Import order\"")
	}
	_, rest, _ = strings.Cut(rest, "```\n")
	block, _, ok := strings.Cut(rest, "```")
	if !ok {
		t.Fatal("DEVELOPERS.md has no code block under \"Import order\"")
	}
	return strings.Fields(block)
}

// A package imports only packages that stand before it in the order, so that
// the way through the program can be read from front to back. Test files are
// free: they may ask any package for a witness.
func TestImportOrder(t *testing.T) {
	names := order(t)
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		pkg := filepath.ToSlash(filepath.Dir(path))
		at := slices.Index(names, pkg)
		if at < 0 {
			t.Errorf("package %s is not in the import order of DEVELOPERS.md", pkg)
			return nil
		}
		seen[pkg] = true
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, i := range f.Imports {
			to, _ := strconv.Unquote(i.Path.Value)
			to, ours := strings.CutPrefix(to, "loopwright/internal/")
			if !ours {
				continue
			}
			if j := slices.Index(names, to); j < 0 || j > at {
				t.Errorf("%s imports %s, which comes later in the order of DEVELOPERS.md", path, to)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if !seen[n] {
			t.Errorf("the import order of DEVELOPERS.md names %s, which is not there", n)
		}
	}
}
