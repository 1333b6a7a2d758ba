package desk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"
	"go.yaml.in/yaml/v3"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
)

// firstFault is the fault that stands first in the file, in our words.
func firstFault(root *yaml.Node, e *jsonschema.ValidationError) error {
	var leaves []*jsonschema.ValidationError
	var gather func(*jsonschema.ValidationError)
	gather = func(e *jsonschema.ValidationError) {
		if _, either := e.ErrorKind.(*kind.AnyOf); len(e.Causes) == 0 || either {
			leaves = append(leaves, e)
			return
		}
		for _, c := range e.Causes {
			gather(c)
		}
	}
	gather(e)
	line := func(e *jsonschema.ValidationError) int {
		path := faultPath(e)
		if key, value := entry(root, path...); key != nil {
			return key.Line
		} else if value != nil {
			return value.Line
		}
		return 0
	}
	slices.SortStableFunc(leaves, func(a, b *jsonschema.ValidationError) int { return line(a) - line(b) })
	return lineFault(root, faultPath(leaves[0]), faultWords(leaves[0]))
}

// faultPath leads to the field that is wrong, or in which one is wanting.
func faultPath(e *jsonschema.ValidationError) []string {
	path := slices.Clone(e.InstanceLocation)
	if k, ok := e.ErrorKind.(*kind.AdditionalProperties); ok {
		slices.Sort(k.Properties)
		path = append(path, k.Properties[0])
	}
	return path
}

func faultWords(e *jsonschema.ValidationError) string {
	switch k := e.ErrorKind.(type) {
	case *kind.AdditionalProperties:
		return "a lesson file has no such field"
	case *kind.Required:
		return "says no " + strings.Join(k.Missing, " and no ")
	case *kind.Enum:
		var want []string
		for _, w := range k.Want {
			want = append(want, fmt.Sprint(w))
		}
		return fmt.Sprintf("%.40q is none of %s", fmt.Sprint(k.Got), strings.Join(want, ", "))
	case *kind.AnyOf:
		return "write a text or a list of texts"
	case *kind.Type:
		return fmt.Sprintf("write %s, not %s", kindWords[k.Want[0]], kindWords[k.Got])
	}
	return e.ErrorKind.LocalizedString(message.NewPrinter(language.English))
}

// kindWords are JSON's kinds of values as one says them.
var kindWords = map[string]string{
	"object": "fields with their names", "array": "a list", "string": "a text", "number": "a number",
	"integer": "a whole number", "boolean": "yes or no", "null": "nothing",
}

// entry is the key and the value at a path, as far as it leads; the key is nil
// for the whole and for an item of a list.
func entry(n *yaml.Node, path ...string) (key, value *yaml.Node) {
	value = n
	for _, name := range path {
		found := false
		switch value.Kind {
		case yaml.MappingNode:
			for i := 0; i < len(value.Content) && !found; i += 2 {
				if value.Content[i].Value == name {
					key, value, found = value.Content[i], value.Content[i+1], true
				}
			}
		case yaml.SequenceNode:
			if i, err := strconv.Atoi(name); err == nil && i < len(value.Content) {
				key, value, found = nil, value.Content[i], true
			}
		}
		if !found {
			return nil, nil
		}
	}
	return key, value
}

// lineFault is a fault at a field, with its line.
func lineFault(root *yaml.Node, path []string, what string) error {
	key, value := entry(root, path...)
	line := 1
	switch {
	case key != nil:
		line = key.Line
	case value != nil:
		line = value.Line
	}
	where := fmt.Sprintf("line %d", line)
	if len(path) > 0 {
		where += ", " + strings.Join(path, ".")
	}
	return fmt.Errorf("%s: %s", where, what)
}
