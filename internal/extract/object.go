package extract

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// ObjectKind is one of the three kinds of OpenStreetMap object.
type ObjectKind uint8

const (
	ANode ObjectKind = iota
	AWay
	ARelation
	objectKindCount
)

// String is the format's own word.
func (k ObjectKind) String() string { return [...]string{"node", "way", "relation"}[k] }

// object is what the reading of tags works on: one node, way or relation with
// the tags that are asked for. It is reused from object to object.
type object struct {
	kind     ObjectKind
	id       int64
	value    [keyCount]string // "" where absent
	set      []key
	problems *[]problem
}

// begin clears the object for the next one.
func (o *object) begin(kind ObjectKind, id int64, problems *[]problem) {
	for _, k := range o.set {
		o.value[k] = ""
	}
	o.set = o.set[:0]
	o.kind, o.id, o.problems = kind, id, problems
}

// put adds a tag. Of a key that comes twice the first holds.
func (o *object) put(k key, value string) {
	if k != keyOther && o.value[k] == "" && value != "" {
		o.value[k] = value
		o.set = append(o.set, k)
	}
}

func (o *object) get(k key) string { return o.value[k] }
func (o *object) has(k key) bool   { return o.value[k] != "" }
func (o *object) is(k key, value string) bool {
	return o.value[k] == value
}

// unreadable notes that the value of a key says nothing that can be used.
func (o *object) unreadable(k key) { o.problem(k.String(), o.value[k]) }

func (o *object) problem(key, value string) {
	*o.problems = append(*o.problems, problem{key, value, o.kind, o.id})
}

// problem is one unreadable value at one object.
type problem struct {
	key, value string
	kind       ObjectKind
	id         int64
}

// Bounds of a report, so that a damaged file can't make it endless.
const (
	maxProblemKinds = 10000
	maxProblemValue = 120 // bytes
)

// problems gathers them by key and value.
type problems struct {
	kinds map[[2]string]*Problem
}

func (p *problems) add(list []problem) {
	if p.kinds == nil && len(list) > 0 {
		p.kinds = map[[2]string]*Problem{}
	}
	for _, one := range list {
		value := one.value
		if len(value) > maxProblemValue {
			value = strings.ToValidUTF8(value[:maxProblemValue], "") + "…"
		}
		at := [2]string{one.key, value}
		if p.kinds[at] == nil && len(p.kinds) >= maxProblemKinds {
			at = [2]string{one.key, "(other values)"}
		}
		if p.kinds[at] == nil {
			p.kinds[at] = &Problem{Key: at[0], Value: at[1], Example: fmt.Sprintf("%v %d", one.kind, one.id)}
		}
		p.kinds[at].Count++
	}
}

// list gives them commonest first, then by key and value.
func (p *problems) list() []Problem {
	var out []Problem
	for _, one := range p.kinds {
		out = append(out, *one)
	}
	slices.SortFunc(out, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Key, b.Key), cmp.Compare(a.Value, b.Value))
	})
	return out
}
