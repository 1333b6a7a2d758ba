package assess

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
)

// fillKeys sets each float64 field of to from the row that its key tag names.
// Every field must have its row, and every row its field.
func fillKeys(where string, rows map[string]sourced, to any) error {
	v := reflect.ValueOf(to).Elem()
	known := make(map[string]bool)
	for i := range v.NumField() {
		key := v.Type().Field(i).Tag.Get("key")
		number, err := rows[key].number(where + " " + key)
		if err != nil {
			return err
		}
		known[key] = true
		v.Field(i).SetFloat(number)
	}
	for _, key := range slices.Sorted(maps.Keys(rows)) {
		if !known[key] {
			return fmt.Errorf("%s has no %q", where, key)
		}
	}
	return nil
}
