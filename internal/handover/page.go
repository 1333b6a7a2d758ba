package handover

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
)

//go:embed *.html
var pageFiles embed.FS

// pages are the pages by the names of their files; what several have in common
// stands in parts.html.
var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"verdict": verdictTitle, "minutes": minutesWords, "topic": topicTitle,
	"km": func(m float64) string { return fmt.Sprintf("%.1f km", m/1000) },
}).ParseFS(pageFiles, "*.html"))

// written is a page with what it shows; what names it in an error.
func written(file, what string, shows any) ([]byte, error) {
	var out bytes.Buffer
	if err := pages.ExecuteTemplate(&out, file, shows); err != nil {
		return nil, fmt.Errorf("%s: %w", what, err)
	}
	return out.Bytes(), nil
}
