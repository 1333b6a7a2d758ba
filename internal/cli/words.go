package cli

import (
	"unicode"
	"unicode/utf8"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

func title(c *circuit.Circuit) string {
	if ex, err := assess.Named(c.Request.Exercise); err == nil {
		return ex.Title
	}
	return c.Request.Exercise
}

func stopWords(s circuit.Stop) string {
	if s.Towards == "" {
		return s.Road
	}
	return s.Road + ", facing towards " + s.Towards
}

// exampleWords is a road to judge in a few words.
func exampleWords(e circuit.Example) string {
	if e.Reason == assess.Suits {
		return lower(verdictHeading(e.Verdict))
	}
	return "will not do: " + e.Reason
}

func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
