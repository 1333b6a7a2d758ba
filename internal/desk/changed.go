package desk

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/assess"
	"loopwright/internal/changes"
	"loopwright/internal/gazetteer"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
)

// ChangesRequest asks what a newer map of an area says otherwise.
type ChangesRequest struct {
	Since  string  // the older index file, or extract
	Near   string  // a PLACE; "" for the whole map
	Within float64 // minutes' drive from it
	Plans  string  // a folder of circuit files; "" for the plans kept
	Now    time.Time
}

// Changed is the answer.
type Changed struct {
	Near          string         `json:"near,omitempty"`
	Said          string         `json:"said,omitempty"`
	WithinMinutes float64        `json:"within_minutes,omitempty"`
	Since         *time.Time     `json:"since"`          // age of the older map's data; null unknown
	DataTimestamp *time.Time     `json:"data_timestamp"` // and of the newer's
	Changes       []Change       `json:"changes"`
	Places        []ChangedPlace `json:"places"`
	Plans         []ChangedPlan  `json:"plans"`
	PlansRead     int            `json:"plans_read"`
}

// Change is one thing that the newer map says otherwise.
type Change struct {
	changes.Change
	Minutes float64 `json:"minutes"` // from the place near; 0 without one
	Says    string  `json:"says"`    // all of it in one line
}

// ChangedPlace is a road that is judged otherwise for an exercise.
type ChangedPlace struct {
	Exercise string         `json:"exercise"`
	Title    string         `json:"title"`
	Road     string         `json:"road"`
	Kerb     string         `json:"kerb"` // where, in the newer map
	Was      assess.Verdict `json:"was"`
	Is       assess.Verdict `json:"is"`
}

// ChangedPlan is a plan that the changes touch.
type ChangedPlan struct {
	File    string   `json:"file"`
	ID      string   `json:"id,omitempty"` // of one that the page keeps
	Title   string   `json:"title"`
	Changes []Change `json:"-"`
	Roads   []string `json:"roads"`  // what has changed along its drive
	Broken  []Fails  `json:"broken"` // what no longer holds on the newer map
}

// Changes compares the open map with an older one of the same area, which is
// indexed first where it is an extract that has no index.
func (d *Desk) Changes(ctx context.Context, r ChangesRequest) (*Changed, error) {
	older, err := Open(r.Since)
	if errors.Is(err, roadnet.ErrNotOurs) {
		older, err = OpenMap(ctx, Opening{Path: r.Since, Country: d.About().Country})
	}
	if err != nil {
		return nil, err
	}
	defer older.Close()
	if a, b := older.About(), d.About(); a.Country != b.Country {
		return nil, fault(WrongUse, "Index both with the same --country.", "%s was indexed for %s, the newer map for %s", r.Since, a.Country, b.Country)
	} else if !a.Bounds.IsZero() && !b.Bounds.IsZero() && !a.Bounds.Intersects(b.Bounds) {
		return nil, fault(WrongUse, "Give an older map of the same area.", "%s is of another area", r.Since)
	}
	return guarded(d, func() (*Changed, error) {
		return guarded(older, func() (*Changed, error) { return d.changesSince(ctx, older, r) })
	})
}

func (d *Desk) changesSince(ctx context.Context, older *Desk, r ChangesRequest) (*Changed, error) {
	out := &Changed{Since: older.DataTimestamp(), DataTimestamp: d.DataTimestamp(), Changes: []Change{}, Places: []ChangedPlace{}, Plans: []ChangedPlan{}}
	minutes, err := d.minutesFrom(r, out)
	if err != nil {
		return nil, err
	}
	for _, c := range changes.Compare(older.net, d.net, d.profile) {
		if m, ok := minutes(c); ok {
			if c.Road == "" {
				c.Road = d.unnamedBy(c.Where[0][0])
			}
			change := Change{c, m, ""}
			change.Says = change.String()
			out.Changes = append(out.Changes, change)
		}
	}
	slices.SortStableFunc(out.Changes, func(a, b Change) int { return cmp.Compare(a.Minutes, b.Minutes) })
	if err := d.changedPlaces(ctx, older, r.Now, out); err != nil {
		return nil, err
	}
	return out, d.changedPlans(r.Plans, out)
}

// unnamedBy is what to call a road without a name: by the nearest that has one.
func (d *Desk) unnamedBy(at orb.Point) string {
	if s, _, _, _, ok := d.net.Nearest(at, besideGone, func(s roadnet.StretchID) bool { return d.net.NameOf(s) != 0 }); ok {
		return "an unnamed road by " + d.net.Name(d.net.NameOf(s))
	}
	return "an unnamed road"
}

// minutesFrom is how far changes are from the place that was asked about, and
// whether near enough.
func (d *Desk) minutesFrom(r ChangesRequest, out *Changed) (func(changes.Change) (float64, bool), error) {
	if r.Near == "" {
		return func(changes.Change) (float64, bool) { return 0, true }, nil
	}
	from, tree, err := d.drivesFrom(r.Near, r.Within)
	if err != nil {
		return nil, err
	}
	out.Near, out.Said, out.WithinMinutes = gazetteer.Describe(d.net, from.Position), from.Said, r.Within
	return func(c changes.Change) (float64, bool) {
		stretches := c.Stretches
		if len(stretches) == 0 { // a road gone: from the nearest that is left
			if s, _, _, _, ok := d.net.Nearest(c.Where[0][0], besideGone, nil); ok {
				stretches = []roadnet.StretchID{s}
			}
		}
		least := math.Inf(1)
		for _, s := range stretches {
			for _, forward := range [2]bool{true, false} {
				if ms, ok := tree.Ms(middle(d.net, s, forward)); ok {
					least = min(least, float64(ms)/60000)
				}
			}
		}
		return math.Round(least*10) / 10, !math.IsInf(least, 1)
	}, nil
}

// besideGone is how far the nearest road is looked for, or the nearest with a
// name: our choice.
const besideGone geo.Metres = 300

// touches is how far a change reaches beside its line, in metres: our choice,
// what may lie too near a new junction for any exercise.
const touches = 100

// changedPlaces judges the roads that the changes touch on both maps.
func (d *Desk) changedPlaces(ctx context.Context, older *Desk, now time.Time, out *Changed) error {
	touched := map[roadnet.StretchID]bool{}
	for _, c := range out.Changes {
		for _, line := range c.Where {
			b := padded(line.Bound())
			d.net.Within(b, func(s roadnet.StretchID) bool {
				touched[s] = true
				return true
			})
		}
	}
	order := slices.Sorted(maps.Keys(touched))
	both := twoMaps{d.net, older.net, d.on(now), older.on(now)}
	for _, ex := range assess.Exercises() {
		rows := map[string]*ChangedPlace{} // by road
		for _, s := range order {
			if ctx.Err() != nil {
				return ErrStopped
			}
			both.judge(ex, s, func(at roadnet.Position, was, is assess.Verdict) {
				road := gazetteer.RoadAt(d.net, at)
				row := rows[road]
				if row == nil {
					row = &ChangedPlace{Exercise: ex.Name, Title: ex.Title, Road: road}
					rows[road] = row
				}
				if row.Kerb == "" || max(was, is) > max(row.Was, row.Is) {
					row.Kerb = d.net.KerbAt(at, d.near()).String()
				}
				row.Was, row.Is = max(row.Was, was), max(row.Is, is)
			})
		}
		for _, road := range slices.Sorted(maps.Keys(rows)) {
			if row := rows[road]; row.Was != row.Is && max(row.Was, row.Is) >= assess.Likely {
				out.Places = append(out.Places, *row)
			}
		}
	}
	return nil
}

func padded(b orb.Bound) orb.Bound {
	low, high := geo.PlaneAt(b.Min), geo.PlaneAt(b.Max)
	return orb.Bound{Min: low.From(geo.XY{X: -touches, Y: -touches}), Max: high.From(geo.XY{X: touches, Y: touches})}
}

// near is the side that one drives on.
func (d *Desk) near() roadnet.Side {
	if d.profile.DrivesLeft {
		return roadnet.Left
	}
	return roadnet.Right
}

// twoMaps judges places on a map and on an older one.
type twoMaps struct {
	now, old           *roadnet.Network
	judgeNow, judgeOld *assess.Assessor
}

// judge tells the verdicts of a stretch's places in both maps: the places that
// either finds, where both have the road.
func (m twoMaps) judge(ex *assess.Exercise, s roadnet.StretchID, tell func(at roadnet.Position, was, is assess.Verdict)) {
	olds := map[roadnet.StretchID]bool{}
	for _, p := range m.judgeNow.Scan(ex, s) {
		if q, ok := changes.Across(m.now, m.old, p.Position); ok {
			olds[q.Segment.Stretch()] = true
			tell(p.Position, m.judgeOld.At(ex, q, p.Side).Verdict, p.Verdict)
		}
	}
	if q, ok := changes.Across(m.now, m.old, middle(m.now, s, true)); ok {
		olds[q.Segment.Stretch()] = true
	}
	for _, o := range slices.Sorted(maps.Keys(olds)) {
		for _, p := range m.judgeOld.Scan(ex, o) {
			if q, ok := changes.Across(m.old, m.now, p.Position); ok && q.Segment.Stretch() == s {
				tell(q, p.Verdict, m.judgeNow.At(ex, q, p.Side).Verdict)
			}
		}
	}
}

// String says a change in one line.
func (c Change) String() string {
	words := c.Road + ": " + c.Kind.String()
	switch {
	case c.Kind == changes.Limit || c.Kind == changes.OneWay || c.Kind == changes.Access:
		said := func(s string) string {
			if s == "" {
				return "not mapped"
			}
			return s
		}
		words += " was " + said(c.Was) + ", now " + said(c.Is)
	case c.Kind == changes.RoadNew || c.Kind == changes.RoadGone || c.Was == "" && c.Is != "":
		words += ", " + strings.TrimPrefix(c.Is+c.Was, "at ")
	default:
		words += " gone, " + c.Was
	}
	if c.NearRim {
		words += " (near the map's edge: it may only have been cut otherwise)"
	}
	return words
}
