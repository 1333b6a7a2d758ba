package desk

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
	"loopwright/internal/geo"
)

// changedPlans reads the plans of a folder on the newer map.
func (d *Desk) changedPlans(dir string, out *Changed) error {
	if dir == "" {
		kept, err := DataFolder()
		if err != nil {
			return err
		}
		dir = filepath.Join(kept, "plans")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.geojson"))
	if err != nil {
		return &Fault{Kind: WrongUse, Err: err}
	}
	slices.Sort(files)
	for _, file := range files {
		c, err := ReadCircuit(file)
		if err != nil {
			continue // some other GeoJSON
		}
		out.PlansRead++
		checked, err := d.CheckCircuit(c, "")
		if err != nil {
			return err
		}
		plan := ChangedPlan{File: file, Title: TitleOf(c), Roads: []string{}, Broken: checked.Broken}
		for _, ch := range out.Changes {
			if alongDrive(c.Legs, ch.Where) {
				plan.Changes = append(plan.Changes, ch)
				plan.Roads = append(plan.Roads, ch.String())
			}
		}
		if id := strings.TrimSuffix(filepath.Base(file), ".geojson"); planID.MatchString(id) {
			plan.ID = id
		}
		if len(plan.Roads) > 0 || len(plan.Broken) > 0 {
			out.Plans = append(out.Plans, plan)
		}
	}
	return nil
}

// alongDrive says whether any part of a change lies on a drive: whether the
// middle of one of its lines is within 12 m of the legs.
func alongDrive(legs []circuit.Leg, where orb.MultiLineString) bool {
	const beside geo.Metres = 12 // our choice: a carriageway and a redrawn line
	for _, line := range where {
		plane := geo.PlaneAt(line[0])
		flat := plane.Line(line)
		at, _ := flat.At(flat.Length() / 2)
		for _, leg := range legs {
			if !leg.Line.Bound().Pad(0.001).Contains(plane.From(at)) {
				continue
			}
			if _, away, _ := plane.Line(leg.Line).Nearest(at); away <= beside {
				return true
			}
		}
	}
	return false
}
