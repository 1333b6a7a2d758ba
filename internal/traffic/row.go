package traffic

import (
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
)

// Band is how much traffic a stretch has, from least to most; zero is unknown.
type Band uint8

const (
	Unknown Band = iota
	Own          // of those who live there, and of few
	Light        // little more
	Through      // some that only passes
	Busy
	bandCount
)

// String is the word a user reads.
func (b Band) String() string {
	return [...]string{"not known", "own traffic only", "light traffic", "some through traffic", "busy"}[b]
}

// Cause is what a band was told by.
type Cause uint8

const (
	CauseUnknown Cause = iota
	NotPublic          // closed to general traffic, or not said
	AtRim              // too near where the map file ends
	Apart              // the map joins it to no other roads
	CallersOnly        // only residents and callers may drive in
	OneWayIn           // all of it lies behind one way in
	LittlePasses       // few ways lead over it
	CutThrough         // from one main road to another
	ManyPass           // on the way of many in the neighbourhood
	WayToMany          // the only way in to many homes
	Draws              // a school or shops
	OnBusRoute
	MainRoad // by its class
	causeCount
)

// String names the cause.
func (c Cause) String() string {
	return [...]string{"unknown", "not public", "at the rim", "apart", "callers only", "one way in", "little passes",
		"cut-through", "many pass", "way to many", "draws traffic", "bus route", "main road"}[c]
}

// Marks are the yes-or-no facts of a row.
type Marks uint8

const (
	NearRim   Marks = 1 << iota // the file ends near it or behind it: more may pass than is seen
	Estimated                   // most of the homes are an estimate
	BusRoute
	School
	Shops
	Corner // the cut-through is short, so that it cuts a corner
	marksEnd
)

// Row is what is known of one stretch.
type Row struct {
	Band  Band
	Cause Cause
	Marks Marks
	Class extract.Class // of most of its length
	Homes uint32        // behind the only way in; else those on the stretch itself
	// From and To are stretches of the main roads that a cut-through joins.
	From, To roadnet.StretchID
	// Score is the homes whose only way in would be as busy.
	Score float32
}
