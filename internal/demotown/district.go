package demotown

import "math"

// district is a part of the town with its own character: how its streets run
// and what stands along them. Lengths in metres, angles in radians.
type district struct {
	name quarter

	// Streets.
	across   bool    // long streets run across the main roads, not along them
	depth    float64 // between long streets
	length   float64 // between the streets that join them
	straight float64 // most a street turns per metre
	wander   float64 // how far noise turns the field
	closes   float64 // share of dead ends that are kept
	longest  float64 // a street's length at most
	crosses  float64 // share of crossings where the street goes on

	// Plots.
	class   class
	limit   int     // mph on the sign
	plot    float64 // width of one home
	row     int     // homes in one building line, 1 for detached
	setback float64 // from the carriageway's edge to the front wall
	deep    float64 // depth of a house
	drives  float64 // share of homes with room for a car off the road
	hedges  float64 // share of fronts with a hedge to the eye
	blind   float64 // share of corners with a wall or hedge up to the footway
	calming float64 // share of streets with humps or cushions

	// Carriageway, kerb to kerb: the truth.
	width, spread float64
	verge         float64 // footway and verge on each side
}

// quarter names the districts.
type quarter int

const (
	countryside quarter = iota
	centre
	terraces
	interwar
	postwar
	newEstate
	hillside
	works
	riverside
)

// String gives the name used in truth.csv.
func (q quarter) String() string {
	switch q {
	case countryside:
		return "countryside"
	case centre:
		return "centre"
	case terraces:
		return "terraces"
	case interwar:
		return "inter-war"
	case postwar:
		return "post-war"
	case newEstate:
		return "new estate"
	case hillside:
		return "hillside"
	case works:
		return "works"
	case riverside:
		return "riverside"
	}
	return "unknown"
}

// degree is an angle of one degree.
const degree = math.Pi / 180

// districts holds the characters. Street spacings follow the plot depths of
// each age: back-to-back plots of 20–25 m in bye-law terraces, 35 m between
// the wars, 28–30 m after; all our choice, drawn from how such streets look on
// a map. Carriageway widths: see the package comment.
var districts = map[quarter]*district{
	countryside: {name: countryside, class: unclassified, limit: 60, plot: 22, row: 1, setback: 9, deep: 9, drives: 1, blind: 0.5, hedges: 0.7, width: 4.9, spread: 0.8, verge: 1.5},
	centre: {name: centre, across: true, depth: 75, length: 120, straight: 0.006, wander: 0.25, closes: 0.15, longest: 380, crosses: 0.25,
		class: residential, limit: 20, plot: 7, row: 6, setback: 2.2, deep: 12, drives: 0.05, blind: 0.5, hedges: 0.02, width: 6.3, spread: 1.0, verge: 2.2},
	terraces: {name: terraces, across: true, depth: 62, length: 150, straight: 0.002, wander: 0.05, closes: 0.06, longest: 520, crosses: 0.5,
		class: residential, limit: 30, plot: 5.2, row: 10, setback: 4, deep: 9, drives: 0.02, blind: 0.4, hedges: 0.04, width: 7.2, spread: 0.7, verge: 1.8},
	interwar: {name: interwar, depth: 82, length: 210, straight: 0.0025, wander: 0.06, closes: 0.15, longest: 650, crosses: 0.4,
		class: residential, limit: 30, plot: 9.5, row: 2, setback: 10, deep: 9, drives: 0.75, blind: 0.3, hedges: 0.45, width: 6.6, spread: 0.7, verge: 3.8},
	postwar: {name: postwar, depth: 78, length: 120, straight: 0.016, wander: 0.8, closes: 0.75, longest: 330, crosses: 0.08,
		class: residential, limit: 30, plot: 7.2, row: 6, setback: 8, deep: 8, drives: 0.45, blind: 0.12, hedges: 0.2, width: 5.5, spread: 0.45, verge: 2.2},
	newEstate: {name: newEstate, depth: 66, length: 105, straight: 0.02, wander: 0.9, closes: 0.7, longest: 260, crosses: 0.08,
		class: residential, limit: 20, plot: 7.6, row: 3, setback: 5, deep: 8.5, drives: 0.9, blind: 0.1, hedges: 0.1, calming: 0.6, width: 5.1, spread: 0.4, verge: 2},
	hillside: {name: hillside, depth: 74, length: 170, straight: 0.008, wander: 0.25, closes: 0.35, longest: 520, crosses: 0.25,
		class: residential, limit: 30, plot: 15, row: 1, setback: 8, deep: 9.5, drives: 0.7, blind: 0.45, hedges: 0.5, width: 5.6, spread: 0.8, verge: 1.9},
	works: {name: works, across: true, depth: 135, length: 240, straight: 0.003, wander: 0.05, closes: 0.6, longest: 420, crosses: 0.2,
		class: unclassified, limit: 30, plot: 38, row: 1, setback: 16, deep: 32, drives: 1, blind: 0.08, hedges: 0.05, width: 7.3, spread: 0.3, verge: 2.5},
	riverside: {name: riverside, across: true, depth: 60, length: 110, straight: 0.003, wander: 0.1, closes: 0.3, longest: 260, crosses: 0.3,
		class: residential, limit: 30, plot: 5.4, row: 8, setback: 2.5, deep: 9, drives: 0.05, blind: 0.5, hedges: 0.05, width: 6.4, spread: 0.8, verge: 1.7},
}
