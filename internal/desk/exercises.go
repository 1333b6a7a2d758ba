package desk

import (
	"fmt"

	"loopwright/internal/assess"
	"loopwright/internal/country"
)

// ExerciseList is every exercise with what it needs.
type ExerciseList struct {
	Exercises []ExerciseRow `json:"exercises"`
}

// ExerciseRow is one exercise.
type ExerciseRow struct {
	Name       string    `json:"name"`
	Title      string    `json:"title"`
	Room       string    `json:"room"` // where it is done, in words
	WindowM    float64   `json:"window_m"`
	Goes       int       `json:"goes"`
	Afterwards string    `json:"afterwards"` // which way the car faces
	Needs      []NeedRow `json:"needs"`
}

// NeedRow is one criterion of an exercise.
type NeedRow struct {
	Criterion string             `json:"criterion"`
	Asks      string             `json:"asks"` // in words
	Unit      string             `json:"unit,omitempty"`
	Limit     assess.Limit       `json:"limit"`
	Words     map[string]float64 `json:"words,omitempty"` // share of instructors who would take each
	Source    string             `json:"source"`
}

// Exercises lists what each exercise needs, said in a country's units.
func Exercises(code string) (*ExerciseList, error) {
	p, err := country.ByCode(code)
	if err != nil {
		return nil, &Fault{Kind: WrongUse, Err: err}
	}
	out := &ExerciseList{}
	for _, ex := range assess.Exercises() {
		row := ExerciseRow{Name: ex.Name, Title: ex.Title, WindowM: float64(ex.Window), Goes: ex.Goes, Afterwards: "faces on", Room: fmt.Sprintf("%g m of kerb on the driving side", float64(ex.Window))}
		switch {
		case ex.FarKerb:
			row.Room = fmt.Sprintf("%g m of kerb on the far side", float64(ex.Window))
		case ex.CarPark:
			row.Room = "in a car park"
		case ex.Corner:
			row.Room = fmt.Sprintf("%g m of kerb just past a side road", float64(ex.Window))
			row.Afterwards = "stands in the side road, facing out"
		case ex.FacesBack:
			row.Afterwards = "faces back the way it came"
		}
		if ex.MovesOn {
			row.Afterwards = "is further on, and drives round for the next go"
		}
		for i := range ex.Needs {
			n := &ex.Needs[i]
			row.Needs = append(row.Needs, NeedRow{n.Criterion, assess.Asks(n, p), n.Unit, n.Limit, n.Words, n.Source})
		}
		out.Exercises = append(out.Exercises, row)
	}
	return out, nil
}
