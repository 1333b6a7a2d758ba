package desk

import (
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// TitleOf is what a lesson practises, as users read it; the exercise's bare name
// where this program's table does not have it.
func TitleOf(c *circuit.Circuit) string {
	return c.Title(ExerciseTitle)
}

// ExerciseTitle is an exercise as users read it.
func ExerciseTitle(name string) string {
	if ex, err := assess.Named(name); err == nil {
		return ex.Title
	}
	return name
}

// VerdictWords is a verdict as an instructor reads it.
func VerdictWords(v assess.Verdict) string {
	switch v {
	case assess.Suitable:
		return "Suitable"
	case assess.Likely:
		return "Looks right, check on the day"
	case assess.Possible:
		return "Possible"
	case assess.Unsuitable:
		return "Not suitable"
	}
	return "Not known"
}
