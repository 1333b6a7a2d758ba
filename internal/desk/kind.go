package desk

import (
	"slices"
	"strings"

	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// kindOf reads the kind of lesson, its exercises and its wishes.
func (d *Desk) kindOf(r PlanRequest) (circuit.Kind, lesson.Wishes, error) {
	kind := circuit.RoadsToJudge
	if r.Kind != "" {
		if err := kind.UnmarshalText([]byte(r.Kind)); err != nil {
			return 0, lesson.Wishes{}, &Fault{Kind: WrongUse, Err: err}
		}
		if kind == circuit.SurveyDrive {
			return 0, lesson.Wishes{}, fault(WrongUse, "Run \"loopwright survey --drive MINUTES\".", "a survey drive is no lesson")
		}
	}
	asked := []string{}
	if r.Exercise != "" || kind == circuit.RoadsToJudge || kind == circuit.TwoExercises {
		asked = append(asked, r.Exercise)
	}
	if kind == circuit.TwoExercises {
		asked = append(asked, r.Second)
	} else if r.Second != "" {
		return 0, lesson.Wishes{}, fault(WrongUse, "", "a second exercise is for a lesson of the kind %s", circuit.TwoExercises)
	}
	for _, name := range asked {
		if _, err := d.exercise(name); err != nil {
			return 0, lesson.Wishes{}, err
		}
	}
	wishes, err := lesson.ReadWishes(r.Wishes)
	if err != nil {
		return 0, lesson.Wishes{}, &Fault{Kind: WrongUse, Err: err}
	}
	wishes.Avoid = slices.Concat(r.Avoid, wishes.Avoid)
	return kind, wishes, nil
}

// KindWords lists the kinds of lesson.
func KindWords() string {
	var out []string
	for _, k := range circuit.Kinds() {
		if k != circuit.SurveyDrive {
			out = append(out, k.String())
		}
	}
	return strings.Join(out, ", ")
}

// Asks says which of exercise and second exercise a kind of lesson can't do
// without.
func Asks(kind string) (exercise, second bool) {
	second = kind == circuit.TwoExercises.String()
	return second || kind == "" || kind == circuit.RoadsToJudge.String(), second
}
