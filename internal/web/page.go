package web

import (
	"embed"
	"errors"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed all:dist
var dist embed.FS

// ErrNoPage says that the program was built without its page.
var ErrNoPage = errors.New("the page was not built into this program: run `go generate ./internal/web` (it needs npm), then build it again")

// Built gives the built front end.
func Built() (fs.FS, error) {
	page, err := fs.Sub(dist, "dist")
	if err != nil {
		return nil, err
	}
	if _, err := fs.Stat(page, "index.html"); err != nil {
		return nil, ErrNoPage
	}
	return page, nil
}

// kinds are the media types of the page's files; those of the system may differ
// from machine to machine.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".woff2": "font/woff2", ".svg": "image/svg+xml",
}

// views are the addresses that the page itself draws.
func isView(at string) bool {
	first, _, _ := strings.Cut(strings.TrimPrefix(at, "/"), "/")
	switch first {
	case "", "plan", "look", "area", "today", "notes", "more", "survey", "changes":
		return true
	}
	return false
}

func (s *Server) getPage(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
	if isView(r.URL.Path) {
		name = "index.html"
	}
	kind, known := kinds[path.Ext(name)]
	content, err := fs.ReadFile(s.config.Page, name)
	if err != nil || !known {
		refuse(w, http.StatusNotFound, "there is no such page")
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(content)
}
