package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/paulmach/orb/geojson"
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

type placesOptions struct {
	index           string
	asJSON, geoJSON bool
	request         desk.PlacesRequest
}

func newPlacesCommand(s streams) *cobra.Command {
	var o placesOptions
	c := &cobra.Command{
		Use:   "places --index FILE --exercise NAME --near PLACE",
		Short: "List the places fit for an exercise, best first",
		Long: `Lists the stretches of kerb fit for an exercise within a drive, best first.

` + placeHelp,
		RunE: func(c *cobra.Command, args []string) error { return runPlaces(c.Context(), s, c, o) },
	}
	f := c.Flags()
	indexFlag(f, &o.index)
	exerciseFlag(f, &o.request.Exercise)
	f.StringVar(&o.request.Near, "near", "", "`PLACE` to drive from")
	f.Float64Var(&o.request.Within, "within", 10, "`MINUTES` of driving")
	f.BoolVar(&o.request.All, "all", false, "with --json or --geojson, give the unsuitable ones too")
	jsonFlag(f, &o.asJSON)
	f.BoolVar(&o.geoJSON, "geojson", false, "print the places as GeoJSON")
	return c
}

func runPlaces(_ context.Context, s streams, c *cobra.Command, o placesOptions) error {
	if err := required(c, "index", "exercise", "near"); err != nil {
		return err
	}
	if o.request.All && !o.asJSON && !o.geoJSON {
		return wrongUse(c, fmt.Errorf("--all goes with --json or --geojson"))
	}
	d, err := desk.Open(o.index)
	if err != nil {
		return err
	}
	defer d.Close()
	o.request.Now = time.Now()
	o.request.Brief = !o.asJSON && !o.geoJSON
	found, err := d.Places(o.request)
	var f *desk.Fault
	if err != nil && !(errors.As(err, &f) && f.Kind == desk.AnswerIsNo && found != nil) {
		return err
	}
	var printed error
	switch {
	case o.geoJSON:
		printed = printPlacesGeoJSON(s.out, found)
	case o.asJSON:
		printed = printJSON(s.out, found)
	case err == nil:
		printPlaces(s.out, found)
	}
	return errors.Join(err, printed)
}

// shownRoads is how many roads are printed; --json has all places.
const shownRoads = 20

func printPlaces(w io.Writer, found *desk.Places) {
	printSaid(w, found.Said)
	fmt.Fprintf(w, "%s within %g minutes of %s.\n", counted(len(found.Places), "place", "places"), found.WithinMinutes, found.Near)
	printAge(w, found.DataTimestamp)
	roads := desk.ByRoad(found.Places)
	for i, r := range roads[:min(len(roads), shownRoads)] {
		if i == 0 || r.Verdict != roads[i-1].Verdict {
			fmt.Fprintf(w, "\n%s\n", verdictHeading(r.Verdict))
		}
		var facing []string
		for _, p := range r.Places {
			facing = append(facing, fmt.Sprintf("facing %s %s", p.Facing, p.Kerb))
		}
		fmt.Fprintf(w, "  %4.0f min  %-32s  %s\n", r.Minutes, r.Name, strings.Join(facing, ", "))
	}
	if n := len(roads) - shownRoads; n > 0 {
		fmt.Fprintf(w, "\n%s: --json lists every place.\n", counted(n, "road more", "roads more"))
	}
	fmt.Fprintf(w, "\nSee why with `loopwright why --index FILE --exercise %s --at KERB`.\n", found.Exercise)
	fmt.Fprintln(w, lesson.Attribution+".")
}

func printPlacesGeoJSON(w io.Writer, found *desk.Places) error {
	fc := geojson.NewFeatureCollection()
	for _, p := range found.Places {
		f := geojson.NewFeature(p.Line)
		f.Properties = geojson.Properties{
			"kerb": p.Kerb, "road": p.Road, "side": p.Side, "facing": p.Facing, "minutes": p.Minutes, "verdict": p.Verdict,
			"chance": p.Chance, "map_fit": p.MapFit, "findings": p.Findings,
		}
		fc.Append(f)
	}
	fc.ExtraMembers = geojson.Properties{"attribution": lesson.Attribution, "exercise": found.Exercise, "data_timestamp": found.DataTimestamp}
	return printJSON(w, fc)
}
