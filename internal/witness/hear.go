package witness

import (
	"fmt"
	"regexp"
	"strings"
)

// order is one thing told, as a listener takes it who knows only the words.
type order struct {
	what  what
	right bool
	n     int    // which one, from 1
	signs string // the number on them
}

type what int

const (
	takeRoad what = iota
	takeSlip
	endTurn
	endRound
	lightsTurn
	lightsOn
	crossroadsOn
	junctionOn
	junctionRound
	junctionBack
	bear
	sharp
	fork
	leaveBend
	exit
	circleTurn
	circleOn
	circleBack
	pullUp
	followSigns
)

// grammar is the listener's own, written from what instructors say.
var grammar = []struct {
	pattern *regexp.Regexp
	what    what
}{
	{regexp.MustCompile(`^take the (?P<n>\w+) road on (?:the|my|your) (?P<side>left|right)\b`), takeRoad},
	{regexp.MustCompile(`^immediately turn (?P<side>left|right)\b`), takeRoad},
	{regexp.MustCompile(`^take the (?P<n>\w+) slip road on the (?P<side>left|right)\b`), takeSlip},
	{regexp.MustCompile(`^at the end of the road, turn (?P<side>left|right)\b`), endTurn},
	{regexp.MustCompile(`^at the end of the road, turn round`), endRound},
	{regexp.MustCompile(`^at the (?P<n>\w+) traffic lights, turn (?P<side>left|right)\b`), lightsTurn},
	{regexp.MustCompile(`^at the (?P<n>\w+) traffic lights, follow the road ahead`), lightsOn},
	{regexp.MustCompile(`^at the (?P<n>\w+) crossroads, follow the road ahead`), crossroadsOn},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, follow the road ahead`), junctionOn},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, follow the road round to the (?P<side>left|right)\b`), junctionRound},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, turn round and back`), junctionBack},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, bear (?P<side>left|right)\b`), bear},
	{regexp.MustCompile(`^at the (?P<n>\w+) junction, turn sharp (?P<side>left|right)\b`), sharp},
	{regexp.MustCompile(`^at the (?P<n>\w+) fork, keep (?P<side>left|right)\b`), fork},
	{regexp.MustCompile(`^take the road ahead where the main road bends to the (?P<side>left|right)\b`), leaveBend},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, take the (?P<n>\w+) exit`), exit},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, turn (?P<side>left|right)\b`), circleTurn},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, follow the road ahead`), circleOn},
	{regexp.MustCompile(`^at the (?:next )?(?:mini-)?roundabout, go all the way round`), circleBack},
	{regexp.MustCompile(`^follow the signs for the (?P<signs>.+)$`), followSigns},
	{regexp.MustCompile(`^at the (?:next )?roundabout, follow the signs for the (?P<signs>.+)$`), followSigns},
	{regexp.MustCompile(`^pull up on the (?P<side>left|right)\b`), pullUp},
	{regexp.MustCompile(`^drive into the car park on the (?P<side>left|right)\b`), pullUp},
}

var ordinals = map[string]int{"next": 1, "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7}

// hear takes a sentence apart; a question, and a choice left to the learner, order
// nothing.
func hear(say string) ([]order, error) {
	s := strings.TrimSuffix(say, ".")
	if s == "" || strings.HasSuffix(s, "?") || strings.HasPrefix(s, "Keep driving, and now you choose: ") {
		return nil, nil
	}
	s = strings.ToLower(s[:1]) + s[1:]
	s = strings.TrimPrefix(s, "i'd like you to ")
	s = strings.TrimPrefix(s, "move off when you are ready")
	s = strings.TrimPrefix(s, ", back the way you came")
	s = strings.TrimPrefix(s, ", then ")
	var orders []order
	if s == "" {
		return nil, nil
	}
clauses:
	for _, clause := range strings.Split(s, ", then ") {
		clause = strings.TrimPrefix(clause, "then ")
		for _, g := range grammar {
			m := g.pattern.FindStringSubmatch(clause)
			if m == nil {
				continue
			}
			o := order{what: g.what, n: 1}
			if i := g.pattern.SubexpIndex("n"); i >= 0 {
				if o.n = ordinals[m[i]]; o.n == 0 {
					return nil, fmt.Errorf("no number: %q of %q", m[i], say)
				}
			}
			if i := g.pattern.SubexpIndex("side"); i >= 0 {
				o.right = m[i] == "right"
			}
			if i := g.pattern.SubexpIndex("signs"); i >= 0 {
				o.signs = m[i]
			}
			orders = append(orders, o)
			continue clauses
		}
		return nil, fmt.Errorf("can't make out %q of %q", clause, say)
	}
	return orders, nil
}
