// Command bundle builds the page: it fetches the front end's few packages with
// npm, as the lock file has them, and bundles ui/ into dist/. It is run in
// internal/web by `go generate`.
package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	if err := build(); err != nil {
		fmt.Fprintln(os.Stderr, "bundle:", err)
		os.Exit(1)
	}
}

func build() error {
	npm := exec.Command("npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
	npm.Dir, npm.Stdout, npm.Stderr = "ui", os.Stderr, os.Stderr
	if err := npm.Run(); err != nil {
		return fmt.Errorf("npm ci in internal/web/ui: %w", err)
	}
	return bundle("ui", "dist")
}

func bundle(from, to string) error {
	result := api.Build(api.BuildOptions{
		EntryPoints:       []string{filepath.Join(from, "main.ts"), filepath.Join(from, "style.css")},
		Outdir:            to,
		Bundle:            true,
		Write:             true,
		Format:            api.FormatESModule,
		Target:            api.ES2022,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		LegalComments:     api.LegalCommentsEndOfFile,
		LogLevel:          api.LogLevelWarning,
		AssetNames:        "[name]",
		Loader:            map[string]api.Loader{".woff2": api.LoaderFile, ".woff": api.LoaderEmpty},
	})
	if n := len(result.Errors); n > 0 {
		return fmt.Errorf("%d errors in the front end", n)
	}
	page, err := os.ReadFile(filepath.Join(from, "index.html"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(to, "index.html"), page, 0o644)
}
