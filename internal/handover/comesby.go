package handover

import (
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// comesBy counts what a drive comes by of what was sought: 4 mini-roundabouts,
// 1 crossing; "" where nothing was.
func comesBy(c *circuit.Circuit) string {
	count := map[string]int{}
	var order []string
	for _, e := range c.Events {
		if count[e.Topic] == 0 {
			order = append(order, e.Topic)
		}
		count[e.Topic]++
	}
	for i, topic := range order {
		order[i] = lesson.Counted(count[topic], topic)
	}
	return strings.Join(order, ", ")
}

// eventWords tell of one event: what it is, where, and whether it is assumed.
func eventWords(e circuit.Event) string {
	words := strings.TrimPrefix(lesson.Counted(1, e.Topic), "1 ")
	if e.Road != "" {
		words += ", " + e.Road
	}
	if e.Evidence == assess.Assumed {
		words += " (likely, not mapped)"
	}
	return words
}

// firstLines begin the car card.
func firstLines(c *circuit.Circuit, hour func(float64) string) []cardLine {
	switch {
	case c.Request.Kind == circuit.Junctions:
		return noteLines(remark(comesBy(c)))
	case c.Practises():
		return []cardLine{timeLine("Practise by " + hour(c.Practice.AtS))}
	}
	return nil
}

// lastLine is when the drive is over.
func lastLine(c *circuit.Circuit, at string) cardLine {
	switch {
	case c.Request.Kind == circuit.TestDay:
		return timeLine("There by " + at)
	case c.Sent == circuit.ForAnyone: // ends on the way
		return timeLine("Ends at " + at)
	}
	return timeLine("Home by " + at)
}
