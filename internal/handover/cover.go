package handover

import (
	"fmt"
	"regexp"

	"loopwright/internal/circuit"
)

// ForCover makes a circuit ready for one colleague who takes the lesson: all of
// it stays, the pick-up and what the learner needs. It is an error if the
// learner seems to be called by name.
func ForCover(c *circuit.Circuit) (*circuit.Circuit, error) {
	if c.Sent == circuit.ForAnyone {
		return nil, fmt.Errorf("it was made for anyone, and has neither pick-up nor learner: send the plan itself")
	}
	if l := c.Learner; l != nil && looksLikeName.MatchString(l.Reference) {
		return nil, fmt.Errorf("the learner is called %q: write initials or a reference in its place", l.Reference)
	}
	out := *c
	out.Sent = circuit.ForCover
	return &out, nil
}

// looksLikeName finds a word of three letters or more with a small letter after
// its first, and no digit: Anna, but not A.B., AB or OT-07.
var looksLikeName = regexp.MustCompile(`^[^\d]*\p{L}\p{Ll}\p{L}[^\d]*$`)
