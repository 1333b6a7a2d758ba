package survey

import (
	"fmt"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
)

// Part is a part of a survey drive: to one stop, or home, and the roads that are
// seen on the way.
type Part struct {
	Stop  *circuit.Stop // where they are written down; nil: at home
	Steps []circuit.Step
	Roads []Road
}

// Road is a road to look at.
type Road struct {
	circuit.Example
	Paced bool // its width is paced, where the car stands; else it is told by eye
}

// Parts are the parts of a survey drive, in order; the last leads home.
func Parts(c *circuit.Circuit) []Part {
	out := make([]Part, len(c.PullUps)+1)
	step, road := 0, 0
	for i := range out {
		p := &out[i]
		until := c.Finish.AtS + 1
		if i < len(c.PullUps) {
			p.Stop = &c.PullUps[i]
			until = p.Stop.AtS + p.Stop.Minutes*60 - 1
		}
		for ; step < len(c.Steps) && c.Steps[step].AtS < until; step++ {
			p.Steps = append(p.Steps, c.Steps[step])
		}
		for ; road < len(c.Examples) && c.Examples[road].AtS < until; road++ {
			p.Roads = append(p.Roads, Road{Example: c.Examples[road]})
		}
		if n := len(p.Roads); n > 0 && p.Stop != nil {
			p.Roads[n-1].Paced = p.Stop.What == pacing // the stop is in the last road before it
		}
	}
	return out
}

// mostLacking is how many things that the map does not know are said of a road:
// our choice, nobody reads more in a list of eighty.
const mostLacking = 3

// Why says why a road is worth a look.
func Why(e *circuit.Example) string {
	says := "The map does not tell"
	switch e.Verdict {
	case assess.Suitable:
		says = "It would do by the map"
	case assess.Likely:
		says = "It looks right by the map"
	case assess.Possible:
		says = "It may do"
	case assess.Unsuitable:
		says = "Probably not"
	}
	var lacks []string
	for _, criterion := range lackingOrder {
		for _, f := range e.Findings {
			if f.Criterion == criterion && !f.Evidence.Known() && len(lacks) < mostLacking {
				lacks = append(lacks, lacking[criterion])
			}
		}
	}
	if len(lacks) > 0 {
		says += "; not known: " + strings.Join(lacks, ", ")
	}
	says += "."
	switch {
	case e.Alike == 1:
		says += " Its width tells of one road alike."
	case e.Alike > 1:
		says += fmt.Sprintf(" Its width tells of %d roads alike.", e.Alike)
	}
	return says
}

// lackingOrder is what is lacking, what settles most first.
var lackingOrder = []string{"clear-width", "parked", "gradient", "quiet", "limit", "kerb", "surface"}
