package assess

import (
	"fmt"
	"strings"
	"sync"

	"loopwright/data"
	"loopwright/internal/geo"
	"loopwright/internal/notes"
)

// Exercise is what is practised and what it asks of a road. Read only.
type Exercise struct {
	Name, Title string
	Window      geo.Metres // kerb that it takes
	FarKerb     bool       // at the kerb away from the driving side
	FacesBack   bool       // after one go the car faces the other way
	MovesOn     bool       // after one go the car is further on, and drives round for the next
	Corner      bool       // begun just past a side road, and ended in it
	CarPark     bool       // in a car park: the place is its way in
	Goes        int        // usual at one place
	Needs       []Need     // in order of importance
	table       *Table
}

// Need is one criterion of an exercise.
type Need struct {
	Criterion string
	Unit      string
	Card      string // the reason in two or three words
	Limit     Limit
	Words     map[string]float64 // share of instructors who would take it, by word
	Unmapped  map[string]float64 // the same where the map says nothing, by class
	Shows     map[string]float64 // how plainly a failure is seen, by word or "at"
	Source    string

	accepts []point
	// cars are the shares by how full the kerb is likely to be, bothKerbs whether
	// the fuller one counts rather than the window's own.
	cars      []point
	bothKerbs bool
	width     []point // of the exercise's clear width, for the cars that narrow it
	passing   []point // by the logarithm of the vehicles an hour
	group     int     // index into the table's groups, -1 if in none
	read      reader
	sided     bool // differs between the kerbs of a stretch
	varies    bool // from window to window, on a stretch of one piece
	corner    bool // of the corner, not of the road along
	exercise  string
	heeds     []notes.Kind // that may answer it
}

// Seen says whether a driver can see this reason while moving.
func (n *Need) Seen() bool { return len(n.Shows) > 0 }

const file = "exercises.yaml"

var standard = sync.OnceValue(func() *Table {
	text, err := data.Tables.ReadFile(file)
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	t, err := Parse("data/"+file, text)
	if err != nil {
		panic("bug in the embedded tables: " + err.Error())
	}
	return t
})

// Exercises gives the exercises in the table's order.
func Exercises() []*Exercise { return append([]*Exercise(nil), standard().Exercises...) }

// Named gives the exercise with a name; the error lists the names there are.
func Named(name string) (*Exercise, error) {
	names := make([]string, 0, len(standard().Exercises))
	for _, ex := range standard().Exercises {
		if ex.Name == name {
			return ex, nil
		}
		names = append(names, ex.Name)
	}
	return nil, fmt.Errorf("no exercise %q: it is one of %s", name, strings.Join(names, ", "))
}

// InCarPark says whether the exercise of a name is done in a car park; not so of a
// name that none has.
func InCarPark(name string) bool {
	ex, err := Named(name)
	return err == nil && ex.CarPark
}

// need finds the exercise's need for a criterion.
func (ex *Exercise) need(criterion string) *Need {
	for i := range ex.Needs {
		if ex.Needs[i].Criterion == criterion {
			return &ex.Needs[i]
		}
	}
	return nil
}
