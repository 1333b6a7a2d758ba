package demotown

import "sort"

// tags are the map's words for a thing.
type tags map[string]string

// sorted gives keys and values in the order of the keys.
func (t tags) sorted() (keys, values []string) {
	for k := range t {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		values = append(values, t[k])
	}
	return keys, values
}
