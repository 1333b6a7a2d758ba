package drawing

import (
	"fmt"
	"math"
	"strings"

	"loopwright/data"
	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/geo"
	"loopwright/internal/manoeuvre"
)

// drawnVehicle is the class of car in the pictures: the one that the table of
// exercises reckons with.
const drawnVehicle = "small-hatch"

// Exercise draws what is practised in one picture, on paper of a width and at
// most so high, in millimetres: to scale on the practice road where its width was
// measured or mapped, and on a road of a usual width where it was not. An exercise
// that this program has no drawing of is an error.
func Exercise(c *circuit.Circuit, width, most float64) (Diagram, error) {
	s, d, err := sceneOf(c)
	if err != nil {
		return Diagram{}, err
	}
	title := fmt.Sprintf("The exercise from above, in %d stages, on a road %.1f metres wide. The stages are in words below.", len(s.acts), s.width)
	d.Picture = s.draw(width, most, title)
	return d, nil
}

// sceneOf is what is practised as a scene, and what is said of it.
func sceneOf(c *circuit.Circuit) (*scene, Diagram, error) {
	vehicle, err := vehicleOf(drawnVehicle)
	if err != nil {
		return nil, Diagram{}, err
	}
	build := scenes[c.Practice.Exercise]
	if build == nil {
		return nil, Diagram{}, fmt.Errorf("there is no drawing of the exercise %q", c.Practice.Exercise)
	}
	p, err := country.ByCode(c.Request.Country)
	if err != nil {
		return nil, Diagram{}, err
	}
	road := roadOf(c, p)
	s, toScale := build(vehicle, road)
	s.vehicle, s.mirrored, s.downhill = vehicle, !p.DrivesLeft, road.grade
	d := Diagram{ToScale: toScale, Width: s.width, Vehicle: vehicle.Name}
	d.About, d.Rolls = road.about(d, s.ground), road.rolls(c.Practice.Exercise)
	for i := range s.acts {
		if s.mirrored {
			s.acts[i].stage = swapped(s.acts[i].stage)
			for j := range s.acts[i].marks {
				s.acts[i].marks[j].text = swapSides.Replace(s.acts[i].marks[j].text)
			}
		}
		s.acts[i].stage.Number = i + 1
		d.Stages = append(d.Stages, s.acts[i].stage)
	}
	return s, d, nil
}

// swapSides turns words for driving on the left into those for the right.
var swapSides = strings.NewReplacer("left", "right", "right", "left", "Left", "Right", "Right", "Left")

func swapped(s Stage) Stage {
	out := Stage{Title: swapSides.Replace(s.Title)}
	for _, d := range s.Do {
		out.Do = append(out.Do, swapSides.Replace(d))
	}
	return out
}

func vehicleOf(id string) (manoeuvre.Vehicle, error) {
	const file = "vehicles.yaml"
	text, err := data.Tables.ReadFile(file)
	if err != nil {
		return manoeuvre.Vehicle{}, err
	}
	all, err := manoeuvre.ParseVehicles(file, text)
	if err != nil {
		return manoeuvre.Vehicle{}, err
	}
	for _, v := range all {
		if v.ID == id {
			return v, nil
		}
	}
	return manoeuvre.Vehicle{}, fmt.Errorf("%s has no vehicle %q", file, id)
}

// practiceRoad is what is known of the road that is drawn.
type practiceRoad struct {
	name  string
	known bool
	how   string     // how the width is known
	width geo.Metres // known, or usual
	grade float64    // rise over run as the car arrives; 0 level or not known
}

func roadOf(c *circuit.Circuit, p *country.Profile) practiceRoad {
	r := practiceRoad{name: c.Practice.Road, width: p.Carriageway["residential"].Mean, grade: gradeOf(c)}
	for _, f := range c.Practice.Findings {
		if f.Criterion != "clear-width" || f.Evidence != assess.Measured && f.Evidence != assess.Mapped {
			continue
		}
		w := 0.0
		switch {
		case f.Value != nil:
			w = *f.Value
		case f.Low != nil && f.High != nil:
			w = (*f.Low + *f.High) / 2
		}
		if w >= leastDrawn && w <= mostDrawn {
			r.known, r.width, r.how = true, geo.Metres(w), map[assess.Evidence]string{assess.Measured: "measured", assess.Mapped: "from the map"}[f.Evidence]
		}
	}
	return r
}

// Widths that are drawn as they are said: our choice. Narrower than a car, or
// wider than a square, it is no road's width.
const leastDrawn, mostDrawn = 2.0, 30.0

// about says of which road the drawing is, and how its width is known.
func (r practiceRoad) about(d Diagram, on ground) string {
	switch {
	case on == carPark:
		return fmt.Sprintf("Standard drawing: bays of %.1f m and an aisle of %.1f m. Those of %s are not known: look before you start.", standardBay.Width, d.Width, r.name)
	case on == sideway:
		return fmt.Sprintf("Standard drawing: the shape of the corner in %s is not known: look before you start.", r.name)
	case d.ToScale:
		return fmt.Sprintf("Drawn to scale: %s is %.1f m between kerbs (%s).", r.name, d.Width, r.how)
	case r.known:
		return fmt.Sprintf("Standard drawing on %.1f m: %s is %.1f m between kerbs (%s), and a %s does not do it there.", d.Width, r.name, r.width, r.how, d.Vehicle)
	default:
		return fmt.Sprintf("Standard drawing on %.1f m between kerbs. The width of %s is not known: look before you start.", d.Width, r.name)
	}
}

// rolls says which way the car will want to go by itself. Roads are mostly
// higher in the middle, to shed the rain.
func (r practiceRoad) rolls(exercise string) string {
	along := "Along the road it is about level, or its slope is not known: feel for it."
	switch {
	case r.grade > 0:
		along = "The road rises ahead of where you stop: the car wants to roll back."
	case r.grade < 0:
		along = "The road falls ahead of where you stop: the car wants to roll forward."
	}
	if exercise == "turn-in-the-road" {
		along += " Across it, towards the kerb: the middle of a road is mostly higher, so hold the car before each kerb."
	}
	return along
}

// gradeOf is the slope of the last 40 m before the practice place, as the car
// drives; 0 where it is less than 1 %, or not known. Our choice: less is not
// felt, and the ground's heights are no better.
func gradeOf(c *circuit.Circuit) float64 {
	for _, l := range c.Legs {
		if math.Abs(l.AtS+l.DriveS-c.Practice.AtS) > 2 || len(l.Heights) < 2 {
			continue
		}
		step := l.LengthM / float64(len(l.Heights)-1)
		n := max(1, min(len(l.Heights)-1, int(math.Round(40/step))))
		last := len(l.Heights) - 1
		g := float64(l.Heights[last]-l.Heights[last-n]) / (step * float64(n))
		if math.Abs(g) >= 0.01 {
			return g
		}
	}
	return 0
}
