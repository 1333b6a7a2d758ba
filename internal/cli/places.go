package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

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
	f.BoolVar(&o.asJSON, "json", false, "print the result as JSON")
	f.BoolVar(&o.geoJSON, "geojson", false, "print the places as GeoJSON")
	return c
}

func runPlaces(_ context.Context, s streams, c *cobra.Command, o placesOptions) error {
	if err := required(c, "index", "exercise", "near"); err != nil {
		return err
	}
	d, err := desk.Open(o.index)
	if err != nil {
		return err
	}
	defer d.Close()
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

// shownPlaces is how many places are printed; --json has all.
const shownPlaces = 20

func printPlaces(w io.Writer, found *desk.Places) {
	printSaid(w, found.Said)
	fmt.Fprintf(w, "%d places within %g minutes of %s.\n", len(found.Places), found.WithinMinutes, found.Near)
	printAge(w, found.DataTimestamp)
	for i, p := range found.Places[:min(len(found.Places), shownPlaces)] {
		if i == 0 || p.Verdict != found.Places[i-1].Verdict {
			fmt.Fprintf(w, "\n%s\n", verdictHeading(p.Verdict))
		}
		fmt.Fprintf(w, "  %4.0f min  %-32s  %-5s side  %s\n", p.Minutes, p.Road, p.Side, p.Kerb)
	}
	if n := len(found.Places) - shownPlaces; n > 0 {
		fmt.Fprintf(w, "\n%d more: --json lists them all.\n", n)
	}
	fmt.Fprintf(w, "\nSee why with `loopwright why --exercise %s --at KERB`.\n", found.Exercise)
	fmt.Fprintln(w, lesson.Attribution+".")
}

func printPlacesGeoJSON(w io.Writer, found *desk.Places) error {
	fc := geojson.NewFeatureCollection()
	for _, p := range found.Places {
		f := geojson.NewFeature(p.Line)
		f.Properties = geojson.Properties{
			"kerb": p.Kerb, "road": p.Road, "side": p.Side, "minutes": p.Minutes, "verdict": p.Verdict,
			"chance": p.Chance, "map_fit": p.MapFit, "findings": p.Findings,
		}
		fc.Append(f)
	}
	fc.ExtraMembers = geojson.Properties{"attribution": lesson.Attribution}
	return printJSON(w, fc)
}
