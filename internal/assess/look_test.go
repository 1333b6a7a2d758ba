package assess

import (
	"slices"
	"testing"
)

// What decides most is looked for first, and nothing twice: both doubts about the
// bays of a car park are settled by one look.
func TestLookFor(t *testing.T) {
	fee := Finding{Criterion: "fee", Evidence: Assumed, Chance: 0.75}
	bays := Finding{Criterion: "bays", Evidence: Assumed, Chance: 0.6}
	empty := Finding{Criterion: "empty-bays", Evidence: Assumed, Chance: 0.5}
	sure := Finding{Criterion: "surface", Evidence: Assumed, Chance: surelyEnough}
	mapped := Finding{Criterion: "gradient", Evidence: Mapped, Holds: HoldsYes, Chance: 0.9}
	if got, want := LookFor([]Finding{mapped, fee, sure, bays, empty}), []string{looks["empty-bays"], looks["fee"]}; !slices.Equal(got, want) {
		t.Errorf("LookFor = %q, want %q", got, want)
	}
	if got := LookFor([]Finding{fee, {Criterion: "car-park", Evidence: Mapped, Holds: HoldsNo}}); got != nil {
		t.Errorf("LookFor = %q where something known rules the place out, want none", got)
	}
}
