package desk

import (
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// TitleOf is what a lesson practises, as users read it; the exercise's bare name
// where this program's table does not have it.
func TitleOf(c *circuit.Circuit) string {
	if ex, err := assess.Named(c.Request.Exercise); err == nil {
		return ex.Title
	}
	return c.Request.Exercise
}
