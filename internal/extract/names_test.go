package extract

import (
	"math/bits"
	"testing"
)

// Every constant has a word of its own.
func TestNames(t *testing.T) {
	check := func(kind string, n int, name func(int) string) {
		seen := map[string]bool{}
		for i := range n {
			word := name(i)
			if word == "" || seen[word] {
				t.Errorf("%s %d is called %q", kind, i, word)
			}
			seen[word] = true
		}
	}
	check("class", int(classCount), func(i int) string { return Class(i).String() })
	check("use", int(useCount), func(i int) string { return Use(i).String() })
	check("answer", int(answerCount), func(i int) string { return Answer(i).String() })
	check("limit source", int(limitSourceCount), func(i int) string { return LimitSource(i).String() })
	check("width source", int(widthSourceCount), func(i int) string { return WidthSource(i).String() })
	check("surface", int(surfaceCount), func(i int) string { return Surface(i).String() })
	check("parking", int(parkingPositionCount), func(i int) string { return ParkingPosition(i).String() })
	check("site", int(SiteKinds), func(i int) string { return SiteKind(i).String() })
	check("car park", int(carParkFormCount), func(i int) string { return CarParkForm(i).String() })
	check("building", int(BuildingKinds), func(i int) string { return BuildingKind(i).String() })
	check("wall", int(WallKinds), func(i int) string { return WallKind(i).String() })
	check("object", int(objectKindCount), func(i int) string { return ObjectKind(i).String() })
	check("feature", bits.TrailingZeros32(uint32(PostBox))+1, func(i int) string { return Feature(1 << i).String() })
	if len(featureNames) != bits.TrailingZeros32(uint32(PostBox))+1 {
		t.Error("a feature has no name, or a name no feature")
	}
	check("key", int(keyCount)-1, func(i int) string { return key(i + 1).String() })
	if got := (Signals | CrossingSignals).String(); got != "signals, crossing with signals" {
		t.Errorf("two features are called %q", got)
	}
}

// The keys that are reached by adding an offset stand in that order.
func TestKeyOffsets(t *testing.T) {
	for _, mode := range accessModes {
		for offset, suffix := range []string{"", ":forward", ":backward", ":conditional", ":forward:conditional", ":backward:conditional"} {
			if got, want := (mode + key(offset)).String(), mode.String()+suffix; got != want {
				t.Errorf("key %v + %d = %q, want %q", mode, offset, got, want)
			}
		}
	}
	for side, base := range map[string]key{"left": keyParkingLeft, "right": keyParkingRight, "both": keyParkingBoth} {
		for offset, want := range []string{
			"parking:" + side, "parking:" + side + ":orientation", "parking:" + side + ":restriction", "parking:" + side + ":restriction:conditional", "parking:" + side + ":conditional",
			"parking:lane:" + side, "parking:lane:" + side + ":parallel", "parking:lane:" + side + ":diagonal", "parking:lane:" + side + ":perpendicular",
			"parking:condition:" + side, "parking:condition:" + side + ":time_interval", "parking:condition:" + side + ":conditional",
		} {
			if got := (base + key(offset)).String(); got != want {
				t.Errorf("key %v + %d = %q, want %q", base, offset, got, want)
			}
		}
	}
	for base, want := range map[key]string{
		keyMaxspeed: "maxspeed", keyMaxspeedConditional: "maxspeed:conditional", keyMaxspeedType: "maxspeed:type", keySourceMaxspeed: "source:maxspeed",
	} {
		for form, direction := range map[key]string{forwardForm: "forward", backwardForm: "backward"} {
			got := (base + form).String()
			if got != want+":"+direction && got != "maxspeed:"+direction+":conditional" {
				t.Errorf("key %v + %d = %q", base, form, got)
			}
		}
	}
}
