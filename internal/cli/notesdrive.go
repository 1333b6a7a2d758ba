package cli

import (
	"bufio"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"loopwright/internal/desk"
)

// addFromDrive reads one line for each road of a survey drive, in its order. A
// line may begin with a road's number and a colon, to go on from there; an empty
// line passes over a road. Each road's notes are kept at once, so that whoever is
// interrupted loses nothing.
func addFromDrive(s streams, index, drive, by, on string, asJSON bool) error {
	d, err := desk.Open(index)
	if err != nil {
		return err
	}
	defer d.Close()
	answers, err := d.AnswersTo(drive)
	if err != nil {
		return err
	}
	fmt.Fprintln(s.err, "One line a road, as \"5.4 few clear quiet yes\"; an empty line passes over it. \"12:\" before it goes on from road 12.")
	in := bufio.NewScanner(s.in)
	noted := 0
	for i := 0; i < len(answers.Roads); {
		fmt.Fprintf(s.err, "Road %d, %s: ", i+1, answers.Roads[i].Road)
		if !in.Scan() {
			fmt.Fprintln(s.err)
			break
		}
		line := in.Text()
		if number, rest, ok := strings.Cut(line, ":"); ok {
			n, err := strconv.Atoi(strings.TrimSpace(number))
			if err != nil || n < 1 || n > len(answers.Roads) {
				fmt.Fprintf(s.err, "There is no road %q: the drive has roads 1 to %d.\n", strings.TrimSpace(number), len(answers.Roads))
				continue
			}
			i, line = n-1, rest
		}
		if strings.TrimSpace(line) == "" {
			i++
			continue
		}
		var rows []desk.NoteRow
		says, err := desk.ReadAnswer(line)
		if err == nil {
			rows, err = answers.Enter(i, says, by, on, time.Now())
		}
		var f *desk.Fault
		if errors.As(err, &f) && f.Kind == desk.WrongUse && f.Hint == "" {
			fmt.Fprintf(s.err, "%v\n", err) // ask again
			continue
		}
		if err != nil {
			return err
		}
		noted += len(rows)
		i++
	}
	if err := in.Err(); err != nil {
		return err
	}
	changed, err := answers.Changed()
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, struct {
			Noted   int             `json:"noted"`
			Changed []desk.Reversed `json:"changed"`
		}{noted, changed})
	}
	fmt.Fprintf(s.out, "%s. %s.\n", counted(noted, "note", "notes"), counted(len(changed), "verdict is another one now", "verdicts are others now"))
	for _, c := range changed {
		fmt.Fprintf(s.out, "  %s: %s, was %s\n", c.Road, lower(desk.VerdictWords(c.After)), lower(desk.VerdictWords(c.Before)))
	}
	return nil
}
