package handover

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// handBack is what the card shows.
type handBack struct {
	Title, Date string
	Learner     string // reference or initials
	Before      []remembered
	Roads       []handBackRoad
	Goes        int
	Attribution string
	Cautions    []string
}

// remembered is what was known of the learner before the lesson.
type remembered struct{ What, Words string }

// before are the learner's notes as sentences.
func before(l *circuit.LearnerRecord) []remembered {
	var out []remembered
	add := func(what string, words ...string) {
		text := strings.Join(slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" }), ", ")
		if text == "" {
			return
		}
		if !strings.ContainsAny(text[len(text)-1:], ".!?") {
			text += "."
		}
		out = append(out, remembered{what, text})
	}
	add("Covered", l.Covered...)
	add("Level", l.Level)
	add("Next", l.Next...)
	add("Watch for", l.WatchFor...)
	add("Needs", l.Needs...)
	return out
}

// handBackRoad is one road that was to be used, with room for how it was.
type handBackRoad struct{ What, Road, Planned string }

// HandBack makes the card that returns with the learner after cover: what was
// planned, and boxes to fill in by hand for what was covered, the level, what
// is next, and how each road was. One HTML page with no script and nothing
// fetched from anywhere; it has no address of a pick-up.
func HandBack(c *circuit.Circuit) ([]byte, error) {
	page := handBack{
		Title: lessonTitle(c), Date: begins(c),
		Attribution: c.Attribution, Cautions: c.Cautions,
	}
	if l := c.Learner; l != nil {
		page.Learner, page.Before = l.Reference, before(l)
	}
	for _, e := range c.Examples {
		planned := "would do"
		if e.Verdict == assess.Unsuitable {
			planned = "would not do"
		}
		if e.Key != nil {
			planned = e.Key.Answer
		}
		page.Roads = append(page.Roads, handBackRoad{fmt.Sprintf("Road to judge %d", e.Order), e.Road, planned})
	}
	place := func(what string, p circuit.Practice) {
		page.Roads = append(page.Roads, handBackRoad{what, p.Road, "to practise, " + kerbWords(p.Stop)})
	}
	for _, p := range c.Practices() {
		place("Practice road", p.Practice)
		page.Goes += p.Goes
		for i, b := range p.Backups {
			place(fmt.Sprintf("Backup %d", i+1), b)
		}
	}
	if met := comesBy(c); met != "" {
		page.Roads = append(page.Roads, handBackRoad{"On the drive", met, "to come by"})
	}
	return written("handback.html", "hand-back card", page)
}
