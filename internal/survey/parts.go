package survey

import (
	"slices"
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
	Paced bool // the car stands in it, so that its width can be paced
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
			p.Roads[n-1].Paced = true // the stop is in the last road before it
		}
	}
	return out
}

// Why says why a road is worth a look.
func Why(e *circuit.Example) string {
	var lacks []string
	for _, f := range e.Findings {
		if word := lacking[f.Criterion]; word != "" && (f.Evidence == assess.Assumed || f.Evidence == assess.EvidenceUnknown) && !slices.Contains(lacks, word) {
			lacks = append(lacks, word)
		}
	}
	says := map[assess.Verdict]string{
		assess.Suitable: "It would do by the map", assess.Likely: "It looks right by the map", assess.Possible: "It may do", assess.Unsuitable: "Probably not",
	}[e.Verdict]
	switch n := len(lacks); {
	case says == "":
		return "The map does not tell."
	case n == 0:
		return says + ": only a look settles it."
	case n == 1:
		return says + ", but the map does not know its " + lacks[0] + "."
	default:
		return says + ", but the map does not know its " + strings.Join(lacks[:n-1], ", ") + " or " + lacks[n-1] + "."
	}
}
