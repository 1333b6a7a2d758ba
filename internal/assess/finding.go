// Package assess judges roads for an exercise: one finding per criterion with
// its evidence, and a verdict from the findings alone.
package assess

// Evidence is how a value is known.
type Evidence uint8

const (
	EvidenceUnknown Evidence = iota
	Measured                 // a note
	Mapped                   // a tag
	Inferred                 // from geometry or heights
	Assumed                  // a default
	evidenceCount
)

// Holds is whether a criterion is met.
type Holds uint8

const (
	HoldsUnknown Holds = iota
	HoldsYes
	HoldsNo
	HoldsPerhaps
	holdsCount
)

// Verdict is what the findings come to.
type Verdict uint8

const (
	VerdictUnknown Verdict = iota
	Unsuitable
	Possible
	Likely // on screen: looks right, check on the day
	Suitable
	verdictCount
)

// Limit is what a criterion asks: at least Min, at most Max; nil is no bound.
type Limit struct {
	Min *float64 `json:"min,omitempty"`
	Max *float64 `json:"max,omitempty"`
}

// Finding is one criterion applied to one place. Either Value, or Low and High
// (an interval), or Text for what has no number ("asphalt"); none is unknown.
type Finding struct {
	Criterion string   `json:"criterion"`
	Value     *float64 `json:"value,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Text      string   `json:"text,omitempty"`
	Unit      string   `json:"unit,omitempty"` // m, %, km/h, deg, ""
	Limit     Limit    `json:"limit"`
	Holds     Holds    `json:"holds"`
	Chance    float64  `json:"chance"` // that it holds, from the spread of its evidence
	Evidence  Evidence `json:"evidence"`
	Source    string   `json:"source"` // the tag, the note, the inference or the default, in words
}
