package cli

import (
	"fmt"
	"io"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

// printEvents lists what the drive comes by of what was sought.
func printEvents(w io.Writer, c *circuit.Circuit, clock func(float64) string) {
	if len(c.Events) > 0 {
		fmt.Fprintln(w, "\nWhat the drive comes by")
	}
	for _, e := range c.Events {
		fmt.Fprintf(w, "  %s  %s, %s (%s: %s)\n", clock(e.AtS), strings.TrimPrefix(lesson.Counted(1, e.Topic), "1 "), e.Road, e.Evidence, e.Source)
	}
}

// printPractice tells of a place to practise, its times and its backups.
func printPractice(w io.Writer, c *circuit.Circuit, p circuit.Practised, clock func(float64) string) {
	what := "Practise"
	if c.Request.Kind != circuit.RoadsToJudge {
		what = desk.ExerciseTitle(p.Exercise)
	}
	fmt.Fprintf(w, "\n%s in %s, %s side (%s): %s. %s.\n", what, p.Road, p.Side, p.Kerb, lower(verdictHeading(p.Verdict)), counted(p.Goes, "go", "goes"))
	fmt.Fprintf(w, "Practise by %s, leave by %s, %s by %s.", clock(p.AtS), clock(p.AtS+p.Minutes*60), lower(overWords(c)), clock(c.Finish.AtS))
	if p.Late != nil {
		fmt.Fprintf(w, " If you are %.0f minutes late: %s.", p.Late.Minutes, counted(p.Late.Goes, "go", "goes"))
	}
	fmt.Fprintln(w)
	if p.Round != nil {
		fmt.Fprintf(w, "Round to the next go: %s.\n", roundWords(p.Round))
	}
	for _, b := range p.Backups {
		loses := ""
		if b.Goes < p.Goes {
			loses = fmt.Sprintf(" There is time for %d of the %d goes.", b.Goes, p.Goes)
		}
		fmt.Fprintf(w, "If it is taken: %s, %s side (%s), %s.%s\n", b.Road, b.Side, b.Kerb, lower(verdictHeading(b.Verdict)), loses)
	}
}

// choiceWords are the roads that the learner may choose, with what is known of each.
func choiceWords(c *circuit.Choice) string {
	var words []string
	for _, r := range c.Roads {
		words = append(words, fmt.Sprintf("%s (%s)", r.Road, lower(verdictHeading(r.Verdict))))
	}
	return strings.Join(words, ", ")
}

// roundWords are a way round between two goes, with its minutes.
func roundWords(r *circuit.Round) string {
	return fmt.Sprintf("%s (%.1f min)", r.Say, r.DriveS/60)
}

// overWords say where the drive is over.
func overWords(c *circuit.Circuit) string {
	if c.Request.Kind == circuit.TestDay {
		return "There"
	}
	return "Home"
}
