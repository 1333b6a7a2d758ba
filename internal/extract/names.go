package extract

import (
	"math/bits"
	"strings"
)

var (
	classNames       = [classCount]string{"unknown", "motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living street", "road", "service road", "track", "under construction"}
	useNames         = [useCount]string{"unknown", "through", "destination", "private", "barred"}
	answerNames      = [answerCount]string{"not said", "yes", "no"}
	limitSourceNames = [limitSourceCount]string{"unknown", "mapped", "zone", "none", "walking pace", "default", "variable"}
	widthSourceNames = [widthSourceCount]string{"unknown", "width:carriageway", "width", "est_width"}
	surfaceNames     = [surfaceCount]string{"unknown", "smooth", "setts", "loose"}
	parkingNames     = [parkingPositionCount]string{"unknown", "none", "on the carriageway", "half on the kerb", "on the kerb", "in a bay", "on the shoulder", "mapped apart", "somehow"}
	siteNames        = [SiteKinds]string{"unknown", "bus stop", "school", "nursery", "college", "hospital", "station", "shop", "car park", "parking bay", "park", "playground", "housing", "church", "pub", "post box", "petrol station", "supermarket", "railway bridge", "chemist", "bakery", "butcher", "post office", "library", "fire station"}
	carParkNames     = [carParkFormCount]string{"unknown", "surface", "multi-storey", "underground", "rooftop", "roadside", "boxes"}
	buildingNames    = [BuildingKinds]string{"unsaid", "house", "semi-detached house", "terrace", "flats", "garage", "row of garages", "roof", "outhouse", "place of work", "unfinished"}
	wallNames        = [WallKinds]string{"unknown", "wall", "fence", "hedge"}
	featureNames     = [...]string{"mini-roundabout", "turning circle", "turning loop", "signals", "give way", "stop", "zebra crossing", "crossing with signals", "crossing", "calming", "island", "bus stop", "level crossing", "shut barrier", "open barrier", "passing place", "motorway junction", "post box"}
)

// String is the kind of road in words.
func (c Class) String() string { return classNames[c] }

// String is the use in one word.
func (u Use) String() string { return useNames[u] }

// String is yes, no or not said.
func (a Answer) String() string { return answerNames[a] }

// String is how the limit is known, in a word or two.
func (s LimitSource) String() string { return limitSourceNames[s] }

// String is the key that gave the width.
func (s WidthSource) String() string { return widthSourceNames[s] }

// String is the group in one word.
func (s Surface) String() string { return surfaceNames[s] }

// String is where cars stand, in a few words.
func (p ParkingPosition) String() string { return parkingNames[p] }

// String is the word for what a site is.
func (k SiteKind) String() string { return siteNames[k] }

// String is how a car park is built, in a word.
func (f CarParkForm) String() string { return carParkNames[f] }

// String is what a building is for, in a word or two.
func (k BuildingKind) String() string { return buildingNames[k] }

// String is the word for what stands along a boundary.
func (k WallKind) String() string { return wallNames[k] }

// String lists what stands at the node; "" for nothing.
func (f Feature) String() string {
	var words []string
	for rest := uint32(f); rest != 0; rest &= rest - 1 {
		words = append(words, featureNames[bits.TrailingZeros32(rest)])
	}
	return strings.Join(words, ", ")
}
