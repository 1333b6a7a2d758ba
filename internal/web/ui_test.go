package web_test

import (
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

// The front end's own tests, in Node's test runner.
func TestFrontEnd(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("Node.js is not installed: the front end's own tests can't run")
	}
	tests, err := filepath.Glob("ui/*.test.ts")
	if err != nil || len(tests) == 0 {
		t.Fatalf("no tests of the front end: %v", err)
	}
	dir := t.TempDir()
	result := api.Build(api.BuildOptions{
		EntryPoints: tests, Outdir: dir, Bundle: true, Write: true, Format: api.FormatESModule, Platform: api.PlatformNode,
		OutExtension: map[string]string{".js": ".mjs"}, LogLevel: api.LogLevelWarning,
	})
	if len(result.Errors) > 0 {
		t.Fatalf("the tests can't be bundled: %v", result.Errors)
	}
	if out, err := exec.Command(node, "--test", dir).CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
