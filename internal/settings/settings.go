// Package settings reads a user's own file over the program's tables.
//
//	FILE.yaml -> checked against data/settings.schema.json
//	          -> laid over data/exercises.yaml, data/pace.yaml ...
//
// The file has a key for each table that it changes, and under it what is to
// differ in that table's own form. Maps are laid over by key, lists of rows by
// the rows' name, criterion, stage, class or code; other lists are replaced.
// That a table still makes sense is for the package that reads it to say.
package settings

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
)

const schemaFile = "settings.schema.json"

// Tables are where the program's own tables and the schema are read.
type Tables interface {
	ReadFile(name string) ([]byte, error)
}

// Lay gives the tables that a settings file changes, whole, by file name. name
// is the settings file's, for messages; each names the line.
func Lay(name string, text []byte, tables Tables) (map[string][]byte, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(doc.Content) == 0 {
		return nil, fmt.Errorf("%s: it is empty: name a table, such as exercises, and what is to differ", name)
	}
	root := doc.Content[0]
	if err := check(name, root, tables); err != nil {
		return nil, err
	}
	out := make(map[string][]byte)
	for i := 0; i+1 < len(root.Content); i += 2 {
		table := root.Content[i].Value + ".yaml"
		own, err := tables.ReadFile(table)
		if err != nil {
			return nil, fmt.Errorf("%s line %d: %w", name, root.Content[i].Line, err)
		}
		var base yaml.Node
		if err := yaml.Unmarshal(own, &base); err != nil {
			return nil, fmt.Errorf("%s: %w", table, err)
		}
		if out[table], err = yaml.Marshal(over(base.Content[0], root.Content[i+1])); err != nil {
			return nil, fmt.Errorf("%s: %w", table, err)
		}
	}
	return out, nil
}

// check holds the file against the schema. Of several faults the first in the
// file is said.
func check(name string, root *yaml.Node, tables Tables) error {
	raw, err := tables.ReadFile(schemaFile)
	if err != nil {
		return err
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		return fmt.Errorf("%s: %w", schemaFile, err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(schemaFile, schema); err != nil {
		return fmt.Errorf("%s: %w", schemaFile, err)
	}
	compiled, err := compiler.Compile(schemaFile)
	if err != nil {
		return fmt.Errorf("%s: %w", schemaFile, err)
	}
	var value any
	if err := root.Decode(&value); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	var invalid *jsonschema.ValidationError
	if err := compiled.Validate(value); err == nil || !errors.As(err, &invalid) {
		return err
	}
	line, said := 0, ""
	for _, fault := range leaves(invalid) {
		if at := lineOf(root, fault.InstanceLocation); line == 0 || at < line {
			line = at
			where := strings.Join(fault.InstanceLocation, " ")
			said = fault.ErrorKind.LocalizedString(message.NewPrinter(language.English))
			if where != "" {
				said = where + ": " + said
			}
		}
	}
	return fmt.Errorf("%s line %d: %s", name, line, said)
}

func leaves(e *jsonschema.ValidationError) []*jsonschema.ValidationError {
	if len(e.Causes) == 0 {
		return []*jsonschema.ValidationError{e}
	}
	var out []*jsonschema.ValidationError
	for _, c := range e.Causes {
		out = append(out, leaves(c)...)
	}
	return out
}

// lineOf is the line of the value at a path of keys and indices, or of the
// nearest thing above it.
func lineOf(n *yaml.Node, path []string) int {
	line := n.Line
	for _, step := range path {
		next := (*yaml.Node)(nil)
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				if n.Content[i].Value == step {
					line, next = n.Content[i].Line, n.Content[i+1]
				}
			}
		case yaml.SequenceNode:
			if i, err := strconv.Atoi(step); err == nil && i < len(n.Content) {
				next = n.Content[i]
				line = next.Line
			}
		}
		if next == nil {
			return line
		}
		n = next
	}
	return line
}

// rowKeys name a row of a list of maps, the first that it has.
var rowKeys = []string{"name", "criterion", "stage", "class", "code"}

// over lays one node over another.
func over(base, top *yaml.Node) *yaml.Node {
	switch {
	case base.Kind == yaml.MappingNode && top.Kind == yaml.MappingNode:
		for i := 0; i+1 < len(top.Content); i += 2 {
			if k := indexOfKey(base, top.Content[i].Value); k >= 0 {
				base.Content[k+1] = over(base.Content[k+1], top.Content[i+1])
			} else {
				base.Content = append(base.Content, top.Content[i], top.Content[i+1])
			}
		}
		return base
	case base.Kind == yaml.SequenceNode && top.Kind == yaml.SequenceNode && named(base) && named(top):
		for _, row := range top.Content {
			at := slices.IndexFunc(base.Content, func(b *yaml.Node) bool { return rowName(b) == rowName(row) })
			if at >= 0 {
				base.Content[at] = over(base.Content[at], row)
			} else {
				base.Content = append(base.Content, row)
			}
		}
		return base
	}
	return top
}

func indexOfKey(n *yaml.Node, key string) int {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i
		}
	}
	return -1
}

// named says whether every element of a list is a row with a name.
func named(list *yaml.Node) bool {
	return len(list.Content) > 0 && !slices.ContainsFunc(list.Content, func(n *yaml.Node) bool { return rowName(n) == "" })
}

func rowName(n *yaml.Node) string {
	if n.Kind != yaml.MappingNode {
		return ""
	}
	for _, key := range rowKeys {
		if i := indexOfKey(n, key); i >= 0 {
			return n.Content[i+1].Value
		}
	}
	return ""
}
