// Package data holds the tables that the program judges by and the invented
// town of the demo, embedded so that the program needs no files of its own.
package data

import "embed"

//go:generate go run loopwright/internal/demotown/generate demo

// Tables holds the tables (*.yaml) and the schemas (*.json).
//
//go:embed *.yaml *.json
var Tables embed.FS

// Demo holds the invented town under demo/: the extract, its heights, the
// people and their lesson requests. Only tests and benchmarks read the truth.
//
//go:embed demo
var Demo embed.FS
