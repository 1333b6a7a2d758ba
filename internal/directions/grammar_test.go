package directions_test

import (
	"fmt"
	"regexp"
	"strings"

	"loopwright/internal/roadnet"
)

// order is one thing told, as a listener takes it who knows only the words.
type order struct {
	what what
	side roadnet.Side
	n    int // which one, from 1; 0 where any
}

type what int

const (
	whatRoad what = iota
	whatSlip
	whatEnd
	whatLights
	whatLightsAhead
	whatCrossroads
	whatAhead
	whatRound
	whatBear
	whatSharp
	whatFork
	whatPastBend
	whatExit
	whatCircleTurn
	whatCircleAhead
	whatCircleBack
	whatTurnRound
	whatTurnBack
	whatPullUp
)

// The listener's grammar, written from the sentences and not from the table.
var grammar = []struct {
	pattern *regexp.Regexp
	what    what
}{
	{regexp.MustCompile(`^take the (?P<n>\w+) road on the (?P<side>left|right)\b`), whatRoad},
	{regexp.MustCompile(`^immediately turn (?P<side>left|right)\b`), whatRoad},
	{regexp.MustCompile(`^take the (?P<n>\w+) slip road on the (?P<side>left|right)\b`), whatSlip},
	{regexp.MustCompile(`^at the end of the road, turn (?P<side>left|right)\b`), whatEnd},
	{regexp.MustCompile(`^at the end of the road, turn round`), whatTurnRound},
	{regexp.MustCompile(`^at the (?P<n>\w+) traffic lights, turn (?P<side>left|right)\b`), whatLights},
	{regexp.MustCompile(`^at the (?P<n>\w+) traffic lights, follow the road ahead`), whatLightsAhead},
	{regexp.MustCompile(`^at the (?P<n>\w+) crossroads, follow the road ahead`), whatCrossroads},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, follow the road ahead`), whatAhead},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, follow the road round to the (?P<side>left|right)\b`), whatRound},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, turn round and back`), whatTurnBack},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, bear (?P<side>left|right)\b`), whatBear},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, turn sharp (?P<side>left|right)\b`), whatSharp},
	{regexp.MustCompile(`^at the (?P<n>\w+) fork, keep (?P<side>left|right)\b`), whatFork},
	{regexp.MustCompile(`^take the road ahead where the main road bends to the (?P<side>left|right)\b`), whatPastBend},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, take the (?P<n>\w+) exit`), whatExit},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, turn (?P<side>left|right)\b`), whatCircleTurn},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, follow the road ahead`), whatCircleAhead},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, go all the way round`), whatCircleBack},
	{regexp.MustCompile(`^pull up on the (?P<side>left|right)\b`), whatPullUp},
}

var numbers = map[string]int{"next": 1, "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7}

// listen takes a sentence apart.
func listen(say string) ([]order, error) {
	s := strings.TrimSuffix(say, ".")
	s = strings.ToLower(s[:1]) + s[1:]
	s = strings.TrimPrefix(s, "i'd like you to ")
	s = strings.TrimPrefix(s, "move off when you are ready")
	s = strings.TrimPrefix(s, ", back the way you came")
	s = strings.TrimPrefix(s, ", then ")
	if s == "" {
		return nil, nil
	}
	var orders []order
	for _, clause := range strings.Split(s, ", then ") {
		o, ok := understand(clause)
		if !ok {
			return nil, fmt.Errorf("can't make out %q of %q", clause, say)
		}
		orders = append(orders, o)
	}
	return orders, nil
}

func understand(clause string) (order, bool) {
	for _, g := range grammar {
		m := g.pattern.FindStringSubmatch(clause)
		if m == nil {
			continue
		}
		o := order{what: g.what, n: 1}
		if i := g.pattern.SubexpIndex("n"); i >= 0 {
			if o.n = numbers[m[i]]; o.n == 0 {
				return o, false
			}
		}
		if i := g.pattern.SubexpIndex("side"); i >= 0 {
			o.side = map[string]roadnet.Side{"left": roadnet.Left, "right": roadnet.Right}[m[i]]
		}
		return o, true
	}
	return order{}, false
}
