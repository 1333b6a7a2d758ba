package handover

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// cardStop is where the car stands on the way, and what for.
type cardStop struct {
	circuit.Stop
	what string // briefing, rest, debrief, practice, finish
}

// stopsOf gives the stops of the drive in the order of their time.
func stopsOf(c *circuit.Circuit) []cardStop {
	var stops []cardStop
	for _, s := range c.PullUps {
		what := s.What
		if what == "" {
			what = "pull-up"
		}
		stops = append(stops, cardStop{s, what})
	}
	stops = append(stops, cardStop{c.Practice.Stop, "practice"}, cardStop{c.Finish, "finish"})
	slices.SortStableFunc(stops, func(a, b cardStop) int { return cmp.Compare(a.AtS, b.AtS) })
	return stops
}

// lines are what the card says of a stop: on the way to it, and there.
func (s cardStop) lines(c *circuit.Circuit, m move, hour func(float64) string) (cardLine, []cardLine) {
	stop := func(where string) cardLine {
		m.place, m.past, m.road = "", "", where
		l := turnLine(s.AtS, m)
		l.Kind = "stop"
		return l
	}
	switch s.what {
	case "finish":
		return stop(s.Road), []cardLine{timeLine("Home by " + hour(s.AtS))}
	case "practice":
		p := c.Practice
		lines := []cardLine{noteLine(practiceWords(p)...)}
		if len(c.Backups) > 0 {
			lines = append(lines, noteLine(backupWords(c)...))
		}
		if l := p.Late; l != nil {
			lines = append(lines, noteLine(fmt.Sprintf("%.0f minutes late: %d of the %d goes", l.Minutes, l.Goes, p.Goes)))
		}
		return stop(s.Road), append(lines, timeLine("Leave by "+hour(p.AtS+p.Minutes*60)))
	default:
		return stop(fmt.Sprintf("%s, %s", s.what, minutesWords(s.Minutes))), nil
	}
}

func minutesWords(m float64) string { return fmt.Sprintf("%.0f min", math.Max(1, math.Round(m))) }

// practiceWords say how often, on which kerb, and what nobody knows.
func practiceWords(p circuit.Practice) []string {
	goes := fmt.Sprintf("%d goes, %s kerb", p.Goes, p.Side)
	if p.Goes == 1 {
		goes = fmt.Sprintf("1 go, %s kerb", p.Side)
	}
	unknown := unknownWords(p)
	if unknown == "" {
		return []string{goes}
	}
	return []string{goes + "; " + unknown, fmt.Sprintf("%d goes; %s", p.Goes, unknown)}
}

// unknownWords name what of width and parking nobody has measured or mapped.
func unknownWords(p circuit.Practice) string {
	known := map[string]bool{}
	for _, f := range p.Findings {
		if f.Evidence == assess.Measured || f.Evidence == assess.Mapped {
			known[f.Criterion] = true
		}
	}
	switch {
	case !known["clear-width"] && !known["parked"]:
		return "width, parking not known"
	case !known["clear-width"]:
		return "width not known"
	case !known["parked"]:
		return "parking not known"
	default:
		return ""
	}
}

// backupWords are the backups on one line: with their sides, then without.
func backupWords(c *circuit.Circuit) []string {
	var full, brief []string
	for _, b := range c.Backups {
		full = append(full, fmt.Sprintf("%s, %s", b.Road, b.Side))
		brief = append(brief, fmt.Sprintf("%s %s", b.Road, b.Side))
	}
	return []string{"If taken: " + strings.Join(full, "; or "), "Or: " + strings.Join(brief, "; "), "Or: " + brief[0]}
}
