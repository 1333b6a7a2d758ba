package cli

import (
	"unicode"
	"unicode/utf8"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

func stopWords(s circuit.Stop) string {
	if s.Towards == "" {
		return s.Road
	}
	return s.Road + ", facing towards " + s.Towards
}

// exampleWords is a road to judge in a few words.
func exampleWords(c *circuit.Circuit, e circuit.Example) string {
	if e.Reason == assess.Suits {
		return lower(verdictHeading(e.Verdict))
	}
	reason := e.Reason
	if ex, err := assess.Named(c.Request.Exercise); err == nil {
		for _, n := range ex.Needs {
			if n.Criterion == e.Reason {
				reason = n.Card
			}
		}
	}
	return "will not do: " + reason
}

func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
