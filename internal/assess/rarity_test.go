package assess

import (
	"math"
	"testing"

	"loopwright/internal/roadnet"
)

func TestRarity(t *testing.T) {
	examples := map[roadnet.SegmentID][]Example{
		0: {{Reason: "junction"}, {Reason: "junction"}}, 1: {{Reason: "junction"}}, 2: {{Reason: "junction"}, {Reason: "bend"}},
		3: {{Reason: "bend"}}, 4: {}, 5: {{Reason: "calming"}}, 6: {{Reason: "junction"}}, 7: {{Reason: "junction"}},
	}
	r := NewRarity(examples)
	// Seven segments have an example; log2(8) = 3.
	for reason, want := range map[string]float64{
		"calming": 1, "dual": 1, "bend": math.Log2(1+7./2) / 3, "junction": math.Log2(1+7./5) / 3,
	} {
		if got := r.Weight(reason); math.Abs(got-want) > 1e-12 {
			t.Errorf("Weight(%s) = %v, want %v", reason, got, want)
		}
	}
	if got := NewRarity(nil).Weight("bend"); got != 1 {
		t.Errorf("Weight in an area without examples = %v, want 1", got)
	}
}
