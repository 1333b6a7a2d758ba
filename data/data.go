// Package data holds the tables that the program judges by and the invented
// town of the demo, embedded so that the program needs no files of its own.
package data

import "embed"

//go:generate go run loopwright/internal/demotown/generate demo

// Files holds the tables (*.yaml), the schemas (*.json) and demo/, the
// invented town. Only tests and benchmarks read demo/truth.csv.gz.
//
//go:embed *.yaml *.json demo
var Files embed.FS
