package lesson

import (
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
)

// keyOf is the answer to the question about a road to judge.
func keyOf(e assess.Example, ex *assess.Exercise, p *country.Profile) *circuit.Key {
	k := &circuit.Key{Answer: assess.Key(e, ex, p), Known: known[assess.Inferred], FollowUp: followUp}
	if e.Reason == suits {
		k.Known, k.FollowUp = knownSuits, followUpSuits
		if ex.CarPark {
			k.Known, k.FollowUp = knownPark, followUpPark
		}
		return k
	}
	for _, f := range e.Findings {
		if f.Criterion == e.Reason {
			k.Known = known[f.Evidence]
		}
	}
	if ask, ok := followUps[e.Reason]; ok {
		k.FollowUp = ask
	}
	return k
}

// known is how a value is known, as one says it to a learner.
var known = map[assess.Evidence]string{
	assess.Measured: "Somebody measured it on this road.",
	assess.Mapped:   "The map says so, and you can see it.",
	assess.Inferred: "It shows in the line of the road on the map, and from your seat.",
}

const (
	knownSuits    = "The shape and kind of the road are on the map. Width and parked cars are for you to see."
	knownPark     = "That it is there is on the map. What its signs say and how full it is are for you to see."
	followUpPark  = "At what time of day would you not go in, and why?"
	followUpSuits = "What would change your mind: cars on both sides, children about, darkness?"
	followUp      = "What would have to be different for you to say yes?"
)

// followUps are what to ask next where one question fits a reason better than
// any road's.
var followUps = map[string]string{
	"clear-width": "How could you tell its width without a tape? What if no car were parked here?",
	"bend":        "How far along would you have to go to be seen in time from both ways?",
	"junction":    "How far from the junction would be far enough, and why?",
	"class":       "What would you see and hear on a road that is quiet enough?",
	"calming":     "Where between two of these would you have room, if anywhere?",
	"crossing":    "What do the marks before the crossing tell you about stopping?",
	"gradient":    "What would the car do on this slope when you change gear?",
	"height-bar":  "Where else does a sign tell you how high a car may be?",
	"bays":        "What would you look for in a larger one?",
	"parked":      "At what time of day might it be empty?",
}
