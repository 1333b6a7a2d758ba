package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/country"
	"loopwright/internal/lesson"
	"loopwright/internal/manoeuvre"
	"loopwright/internal/route"
	"loopwright/internal/settings"
)

// Settle lays a user's settings file over the tables, for the whole process.
// Call it before anything else; nothing is changed where the file is faulty.
func Settle(path string) error {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return fault(WrongUse, "", "%s: there is no such settings file", path)
	}
	if err != nil {
		return &Fault{Kind: BadInput, Err: err}
	}
	tables, err := settings.Lay(path, text, data.Tables)
	if err != nil {
		return &Fault{Kind: BadInput, Err: err}
	}
	for _, c := range []struct {
		table string
		read  func(text []byte) error
	}{
		{"exercises.yaml", func(text []byte) error { _, err := assess.Parse("exercises", text); return err }},
		{"vehicles.yaml", func(text []byte) error { _, err := manoeuvre.ParseVehicles("vehicles", text); return err }},
		{"countries.yaml", func(text []byte) error { _, err := country.Parse("countries", text); return err }},
		{"lesson.yaml", func(text []byte) error { _, err := lesson.ReadTable(text); return err }},
	} {
		if text, ok := tables[c.table]; ok {
			if err := c.read(text); err != nil {
				return &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err)}
			}
		}
	}
	data.Settle(tables)
	if _, err := route.Paces(); err != nil {
		data.Settle(nil)
		return &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err)}
	}
	return nil
}
