// Package data holds the tables that the program judges by and the invented
// town of the demo, embedded so that the program needs no files of its own.
package data

import "embed"

//go:generate go run loopwright/internal/demotown/generate demo

// Tables reads the tables (*.yaml) and the schemas (*.json).
var Tables tables

type tables struct{}

//go:embed *.yaml *.json
var embedded embed.FS

// settled are tables that stand in place of the embedded ones, by file name.
var settled map[string][]byte

// ReadFile reads a table: the one put in its place where there is one.
func (tables) ReadFile(name string) ([]byte, error) {
	if text, ok := settled[name]; ok {
		return text, nil
	}
	return embedded.ReadFile(name)
}

// Settle puts tables in place of the embedded ones, for the whole process. Call
// it once, before any table is read: packages keep what they have read.
func Settle(tables map[string][]byte) { settled = tables }

// Demo holds the invented town under demo/: the extract, its heights, the
// people and their lesson requests. Only tests and benchmarks read the truth.
//
//go:embed demo
var Demo embed.FS
