package browsertest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Violation is a rule of axe-core that a page breaks, and where.
type Violation struct {
	ID, Impact, Help string
	Where            []string
}

func (v Violation) String() string {
	return fmt.Sprintf("%s (%s): %s: %s", v.ID, v.Impact, v.Help, strings.Join(v.Where, "; "))
}

// Axe gives what axe-core finds serious or critical at WCAG 2.2, level AA. The
// test is skipped where axe-core is not installed.
func (p *Page) Axe() []Violation {
	p.t.Helper()
	source, err := axeSource()
	if err != nil {
		p.t.Skip("axe-core is not installed: run `npm ci --ignore-scripts` in internal/browsertest")
	}
	Eval[bool](p, source+"; true")
	return Eval[[]Violation](p, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => r.violations
		.filter(v => v.impact === "serious" || v.impact === "critical")
		.map(v => ({ID: v.id, Impact: v.impact, Help: v.help, Where: v.nodes.map(n => n.target.join(" "))})))`)
}

// axeSource reads axe-core from this package's folder, wherever in the
// repository a test runs.
func axeSource() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		b, err := os.ReadFile(filepath.Join(dir, "internal", "browsertest", "node_modules", "axe-core", "axe.min.js"))
		if err == nil {
			return string(b), nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", err
		}
		dir = up
	}
}
