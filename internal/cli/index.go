package cli

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newIndexCommand(s streams) *cobra.Command {
	var r desk.IndexRequest
	var asJSON bool
	c := &cobra.Command{
		Use:   "index EXTRACT",
		Short: "Read a map extract and make its index, once per extract",
		Long: `Reads an OpenStreetMap extract (.osm.pbf, .osm, .osm.gz or .osm.bz2) and makes
the index that every other command asks. The index lies beside the extract
unless -o says otherwise.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			r.Extract = args[0]
			return runIndex(c.Context(), s, r, asJSON)
		},
	}
	c.Flags().StringVarP(&r.Out, "output", "o", "", "index `FILE` to write (default: beside the extract)")
	c.Flags().StringVar(&r.Country, "country", "", "`CODE`: gb, ie, de or us; left or right elsewhere (default: by position)")
	c.Flags().StringVar(&r.Heights, "heights", "", "`FOLDER` of height files (.hgt, or GeoTIFF in EPSG:4326)")
	c.Flags().BoolVar(&r.NoQuiet, "no-quiet", false, "leave out how quiet the roads are, which takes longest")
	jsonFlag(c.Flags(), &asJSON)
	return c
}

// collectLate puts off the first collection of garbage until 128 MiB are in use:
// a county or a state is read by then, and what only reading needed makes room
// for the network. After that garbage may be twice what is alive: the process
// makes one index and ends.
func collectLate() {
	const leastHeap, late = 4 << 20, 128 << 20 // the runtime first collects at leastHeap * per cent / 100
	debug.SetGCPercent(100 * late / leastHeap)
	runtime.AddCleanup(new([16]int64), func(percent int) { debug.SetGCPercent(percent) }, 200)
}

func runIndex(ctx context.Context, s streams, r desk.IndexRequest, asJSON bool) error {
	collectLate()
	progress, stop := progressOn(s.err)
	r.Progress = progress
	made, err := desk.Index(ctx, r)
	stop()
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, made)
	}
	printIndexed(s.out, made)
	return nil
}

// shownNotRead is how many kinds of unreadable value are printed; --json has all.
const shownNotRead = 8

func printIndexed(w io.Writer, made *desk.Indexed) {
	fmt.Fprintf(w, "%s: %d stretches of road, %d junctions (%s).\n", made.Index, made.Stretches, made.Junctions, made.Country)
	if made.Timestamp != nil {
		fmt.Fprintf(w, "Map data of %s.\n", made.Timestamp.Format("2 January 2006"))
	} else {
		fmt.Fprintln(w, "The extract does not say how old its data is.")
	}
	if !made.Heights {
		fmt.Fprintln(w, "No heights: how steep a road is stays unknown (--heights FOLDER).")
	}
	if !made.Quiet {
		fmt.Fprintln(w, "How quiet the roads are was left out: it is judged by the kind of road alone.")
	}
	if made.Missing > 0 {
		fmt.Fprintf(w, "%d points of %d roads are missing from the extract: those roads end there.\n", made.Missing, made.CutWays)
	}
	if n := len(made.NotRead); n > 0 {
		fmt.Fprintln(w, "Not understood, so not used:")
		for _, v := range made.NotRead[:min(n, shownNotRead)] {
			times := "once, on"
			if v.Count > 1 {
				times = fmt.Sprintf("%d times, as on", v.Count)
			}
			fmt.Fprintf(w, "  %s=%q, %s %s\n", v.Key, v.Value, times, v.Example)
		}
		if n > shownNotRead {
			fmt.Fprintf(w, "  and %d more kinds (--json lists them)\n", n-shownNotRead)
		}
	}
	fmt.Fprintln(w, "© OpenStreetMap contributors, ODbL 1.0.")
}
