package cli

import (
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
	"loopwright/internal/lesson"
)

type whyOptions struct {
	index   string
	asJSON  bool
	request desk.WhyRequest
}

func newWhyCommand(s streams) *cobra.Command {
	var o whyOptions
	c := &cobra.Command{
		Use:   "why --index FILE --exercise NAME --at PLACE",
		Short: "Say what is known of a place, and how",
		Long: `Says what is known of one stretch of kerb for an exercise, how it is known, and
what to look for on the day.

` + placeHelp,
		RunE: func(c *cobra.Command, args []string) error { return runWhy(s, c, o) },
	}
	f := c.Flags()
	indexFlag(f, &o.index)
	exerciseFlag(f, &o.request.Exercise)
	f.StringVar(&o.request.At, "at", "", "the `PLACE`")
	jsonFlag(f, &o.asJSON)
	return c
}

func runWhy(s streams, c *cobra.Command, o whyOptions) error {
	if err := required(c, "index", "exercise", "at"); err != nil {
		return err
	}
	d, err := desk.Open(o.index)
	if err != nil {
		return err
	}
	defer d.Close()
	o.request.Now = time.Now()
	why, err := d.Why(o.request)
	if err != nil {
		return err
	}
	if o.asJSON {
		return printJSON(s.out, why)
	}
	printWhy(s.out, why)
	return nil
}

func printWhy(w io.Writer, why *desk.Why) {
	printSaid(w, why.Said)
	fmt.Fprintf(w, "%s: %s side of %s, to the %s (%s)\n", why.Title, why.Side, why.At, why.Facing, why.Kerb)
	fmt.Fprintf(w, "%s.\n", verdictHeading(why.Verdict))
	if why.NearRim {
		fmt.Fprintln(w, "This is near the edge of the map: roads beyond it are not seen.")
	}
	fmt.Fprintln(w)
	for _, line := range why.Words {
		fmt.Fprintf(w, "  %s\n", line)
	}
	fmt.Fprintln(w)
	if len(why.Notes) > 0 {
		fmt.Fprintln(w, "Noted here:")
		for _, line := range why.Notes {
			fmt.Fprintf(w, "  %s\n", line)
		}
		fmt.Fprintln(w)
	}
	if len(why.LookFor) > 0 {
		fmt.Fprintln(w, "Look for on the day:")
		for _, line := range why.LookFor {
			fmt.Fprintf(w, "  %s\n", line)
		}
		fmt.Fprintln(w)
	}
	printAge(w, why.DataTimestamp)
	fmt.Fprintln(w, "The map may be old or wrong: decide on the day.")
	fmt.Fprintln(w, lesson.Attribution+".")
}
