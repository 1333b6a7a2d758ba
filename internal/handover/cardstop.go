package handover

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
)

// cardStop is where the car stands on the way, and what for.
type cardStop struct {
	circuit.Stop
	what      string             // briefing, rest, debrief, practice, finish
	practised *circuit.Practised // of practice
	named     bool               // its exercise is: there may be another, or none was asked for
}

// stopsOf gives the stops of the drive in the order of their time.
func stopsOf(c *circuit.Circuit) []cardStop {
	var stops []cardStop
	for _, s := range c.PullUps {
		what := s.What
		if what == "" {
			what = "pull-up"
		}
		if s.ChangeOver {
			what = "change over, " + what
		}
		stops = append(stops, cardStop{Stop: s, what: what})
	}
	places := c.Practices()
	for i := range places {
		stops = append(stops, cardStop{places[i].Stop, "practice", &places[i], c.Request.Kind != circuit.RoadsToJudge})
	}
	stops = append(stops, cardStop{Stop: c.Finish, what: "finish"})
	slices.SortStableFunc(stops, func(a, b cardStop) int { return cmp.Compare(a.AtS, b.AtS) })
	return stops
}

// lines are what the card says of a stop: on the way to it, and there.
func (s cardStop) lines(c *circuit.Circuit, profile *country.Profile, m move, hour func(float64) string) (cardLine, []cardLine) {
	stop := func(where ...string) cardLine {
		return doLine(s.AtS, cellOf("stop", m.drawn, m.action, where...))
	}
	switch s.what {
	case "finish":
		return stop(s.Road), []cardLine{lastLine(c, hour(s.AtS))}
	case "practice":
		p := s.practised
		goes := fmt.Sprintf("%d goes, %s kerb", p.Goes, p.Side)
		if p.Goes == 1 {
			goes = fmt.Sprintf("1 go, %s kerb", p.Side)
		}
		if c.Second != nil && !s.named && p.Stop == c.Second.Stop { // the second road of one exercise
			return stop(s.Road), noteLines(remark(goes, unknownWords(p.Practice)), remark("Leave by", hour(p.AtS+p.Minutes*60)))
		}
		about := []cardCell{remark(goes, unknownWords(p.Practice))}
		if s.named {
			about[0] = remark(exerciseTitle(p.Exercise), listed(goes, unknownWords(p.Practice)), goes)
		}
		if l := p.Late; l != nil {
			about = append(about, remark(fmt.Sprintf("%.0f min late", l.Minutes), fmt.Sprintf("%d of the %d goes", l.Goes, p.Goes)))
		}
		lines := noteLines(about...)
		if p.Round != nil {
			lines = append(lines, noteLines(remark("Again", roundWords(profile, p.Round)...))...)
		}
		if len(p.Backups) > 0 {
			lines = append(lines, noteLines(backupCells(p.Backups)...)...)
		}
		return stop(s.Road), append(lines, timeLine("Leave by "+hour(p.AtS+p.Minutes*60)))
	default:
		about := []string{fmt.Sprintf("%s, %s", s.what, minutesWords(s.Minutes)), s.what}
		if s.ChangeOver {
			about = append(about, "change over")
		}
		return stop(about...), nil
	}
}

func minutesWords(m float64) string { return fmt.Sprintf("%.0f min", math.Max(1, math.Round(m))) }

// unknownWords name what of width and parking nobody has measured or mapped.
func unknownWords(p circuit.Practice) string {
	known := map[string]bool{}
	for _, f := range p.Findings {
		if f.Evidence == assess.Measured || f.Evidence == assess.Mapped {
			known[f.Criterion] = true
		}
	}
	if assess.InCarPark(p.Exercise) {
		return "how full not known"
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

// chosen are the roads that would do of those that the learner may choose.
func chosen(c *circuit.Choice) string {
	var roads []string
	for _, r := range c.Roads {
		if (r.Verdict == assess.Suitable || r.Verdict == assess.Likely) && !slices.Contains(roads, r.Road) {
			roads = append(roads, r.Road)
		}
	}
	return listed(roads...)
}

// roundWords are the way round to the next go: with its places, and without.
func roundWords(p *country.Profile, r *circuit.Round) []string {
	if len(r.Moves) == 0 {
		return []string{r.Say}
	}
	var actions []string
	for _, m := range inShort(p, r.Moves) {
		actions = append(actions, m.action)
	}
	return []string{inWords(p, r.Say, r.Moves), strings.Join(actions, ", ")}
}

// backupCells are the backups, with their sides: two, since a third is none that
// one still turns to.
func backupCells(backups []circuit.Practice) []cardCell {
	var cells []cardCell
	for i, b := range backups[:min(2, len(backups))] {
		cells = append(cells, remark([...]string{"If taken", "or"}[i], fmt.Sprintf("%s, %s", b.Road, b.Side), fmt.Sprintf("%s %s", b.Road, b.Side)))
	}
	return cells
}
