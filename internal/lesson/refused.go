package lesson

import (
	"fmt"
	"strings"

	"loopwright/internal/circuit"
)

// Unmet says which wish can't be met, by how much, how near one can come and what
// would have to give. It is an answer, not a fault.
type Unmet struct {
	Wish  string        `json:"wish"`
	Why   string        `json:"why"`
	Short float64       `json:"minutes_short,omitempty"` // of driving that are lacking at the least
	Proof Proof         `json:"proof,omitempty"`
	Best  *BestPossible `json:"best_possible,omitempty"`
	Give  []string      `json:"give,omitempty"` // what would have to give, each by itself enough
}

// BestPossible is the most of the wish that the search found.
type BestPossible struct {
	Unsuitable   int     `json:"unsuitable"`
	Suitable     int     `json:"suitable"`
	Minutes      float64 `json:"minutes"` // of the lesson
	DriveMinutes float64 `json:"drive_minutes,omitempty"`
	Goes         int     `json:"goes,omitempty"`
	Proven       bool    `json:"proven"` // that there is no more

	Found []circuit.Sought `json:"found,omitempty"` // of what was sought, how much
}

// Proof is how it is known that a wish can't be met.
type Proof uint8

const (
	ProofUnknown Proof = iota
	NoneFound          // a search found nothing
	AllTried           // every order of the roads to judge and places that were kept was driven
	ByBound            // no drive can, whatever its roads
	ByRule             // the wish alone says so: it is dark, or the lesson too short for anything
	proofCount
)

// String is the word in files.
func (p Proof) String() string {
	return [proofCount]string{"unknown", "none found", "all tried", "bound", "rule"}[p]
}

// MarshalText writes the word, for JSON.
func (p Proof) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// Error is the sentence that a user reads.
func (u *Unmet) Error() string {
	s := u.Wish + " can't be had: " + u.Why
	if u.Proof == NoneFound {
		s = "no lesson was found with " + u.Wish + ": " + u.Why
	}
	if b := u.Best; b != nil {
		best := roads(b.Unsuitable, b.Suitable)
		if len(b.Found) > 0 {
			best = foundWords(b.Found)
		}
		most := "the most that was found"
		if b.Proven {
			most = "the best possible"
		}
		s += fmt.Sprintf("; %s in %s is %s", most, minutes(b.Minutes), best)
	}
	if len(u.Give) > 0 {
		s += "; " + strings.Join(u.Give, ", or ") + " would do"
	}
	return s
}
