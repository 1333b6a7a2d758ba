package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb/geojson"
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

type changesOptions struct {
	index           string
	asJSON, geoJSON bool
	request         desk.ChangesRequest
}

func newChangesCommand(s streams) *cobra.Command {
	var o changesOptions
	c := &cobra.Command{
		Use:   "changes --index FILE --since OLDER",
		Short: "Tell what a newer map of your area says otherwise",
		Long: `Compares two maps of one area: roads new and gone, speed limits, one-way rules,
who may drive there, traffic calming, barriers, and turns barred or allowed. Then
it tells which roads are judged otherwise for which exercise, and which of your
saved plans the changes touch.

A change of the map is not always one of the road: it may have been so before, or
not be so yet. Go and see.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, args []string) error { return runChanges(s, c, o) },
	}
	f := c.Flags()
	indexFlag(f, &o.index)
	f.StringVar(&o.request.Since, "since", "", "index `FILE` of the older map, or that map itself")
	f.StringVar(&o.request.Near, "near", "", "`PLACE` to drive from; without it, the whole map")
	f.Float64Var(&o.request.Within, "within", 15, "`MINUTES` of driving, with --near")
	f.StringVar(&o.request.Plans, "plans", "", "`FOLDER` of circuit files; without it, the plans saved on the page")
	jsonFlag(f, &o.asJSON)
	f.BoolVar(&o.geoJSON, "geojson", false, "print the changes as GeoJSON")
	return c
}

func runChanges(s streams, c *cobra.Command, o changesOptions) error {
	if err := required(c, "index", "since"); err != nil {
		return err
	}
	if c.Flags().Changed("within") && o.request.Near == "" {
		return wrongUse(c, fmt.Errorf("--within goes with --near"))
	}
	d, err := desk.Open(o.index)
	if err != nil {
		return err
	}
	defer d.Close()
	o.request.Now = time.Now()
	found, err := d.Changes(c.Context(), o.request)
	if err != nil {
		return err
	}
	switch {
	case o.geoJSON:
		return printChangesGeoJSON(s.out, found)
	case o.asJSON:
		return printJSON(s.out, found)
	}
	printChanges(s.out, found)
	return nil
}

func printChanges(w io.Writer, found *desk.Changed) {
	printSaid(w, found.Said)
	where := ""
	if found.Near != "" {
		where = fmt.Sprintf(" within %g minutes of %s", found.WithinMinutes, found.Near)
	}
	fmt.Fprintf(w, "%s%s, from the map of %s to that of %s.\n", counted(len(found.Changes), "change", "changes"), where, dayOf(found.Since), dayOf(found.DataTimestamp))
	printed := map[string]bool{} // a road in several ways is one line
	for _, c := range found.Changes {
		words := c.String()
		if printed[words] {
			continue
		}
		printed[words] = true
		if found.Near != "" {
			words = fmt.Sprintf("%4.0f min  %s", c.Minutes, words)
		}
		fmt.Fprintf(w, "  %s\n", words)
	}
	for i, p := range found.Places {
		if i == 0 || p.Exercise != found.Places[i-1].Exercise {
			printChangedPlaces(w, found.Places[i:])
		}
	}
	if found.PlansRead > 0 {
		fmt.Fprintf(w, "\n%s read, %d touched.\n", counted(found.PlansRead, "saved plan", "saved plans"), len(found.Plans))
	}
	for _, p := range found.Plans {
		printChangedPlan(w, p)
	}
	fmt.Fprintln(w, "\nA change of the map is not always one of the road: go and see.")
	fmt.Fprintln(w, lesson.Attribution+".")
}

// printChangedPlaces prints those of the first one's exercise.
func printChangedPlaces(w io.Writer, places []desk.ChangedPlace) {
	var better, worse []string
	for _, p := range places {
		switch {
		case p.Exercise != places[0].Exercise:
		case p.Is > p.Was:
			better = append(better, p.Road)
		default:
			worse = append(worse, fmt.Sprintf("%s (%s)", p.Road, lower(desk.VerdictWords(p.Is))))
		}
	}
	fmt.Fprintf(w, "\n%s\n", places[0].Title)
	if len(better) > 0 {
		fmt.Fprintf(w, "  looks right now: %s\n", strings.Join(better, ", "))
	}
	if len(worse) > 0 {
		fmt.Fprintf(w, "  no longer: %s\n", strings.Join(worse, ", "))
	}
}

// printChangedPlan prints what has changed along a plan's drive, and of each
// must that is broken the first thing.
func printChangedPlan(w io.Writer, p desk.ChangedPlan) {
	fmt.Fprintf(w, "\n%s\n%s\n", p.File, p.Title)
	for _, road := range slices.Compact(p.Roads) {
		fmt.Fprintf(w, "  %s\n", road)
	}
	more := map[string]int{}
	for _, b := range p.Broken {
		more[b.Must]++
	}
	for _, b := range p.Broken {
		n := more[b.Must]
		switch {
		case n > 1:
			fmt.Fprintf(w, "  %s (and %d more)\n", b, n-1)
		case n == 1:
			fmt.Fprintf(w, "  %s\n", b)
		}
		more[b.Must] = 0
	}
	fmt.Fprintln(w, "  See all with `loopwright check`.")
}

func dayOf(t *time.Time) string {
	if t == nil {
		return "an unknown day"
	}
	return t.Format("2 January 2006")
}

func printChangesGeoJSON(w io.Writer, found *desk.Changed) error {
	fc := geojson.NewFeatureCollection()
	for _, c := range found.Changes {
		f := geojson.NewFeature(c.Where)
		f.Properties = geojson.Properties{"kind": c.Kind, "road": c.Road, "way": c.Way, "was": c.Was, "is": c.Is, "length_m": c.Length, "near_rim": c.NearRim, "minutes": c.Minutes}
		fc.Append(f)
	}
	fc.ExtraMembers = geojson.Properties{"attribution": lesson.Attribution, "since": found.Since, "data_timestamp": found.DataTimestamp}
	return printJSON(w, fc)
}
