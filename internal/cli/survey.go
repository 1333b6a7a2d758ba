package cli

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newSurveyCommand(s streams) *cobra.Command {
	var index string
	var asJSON bool
	var folder string
	var r desk.SurveyRequest
	c := &cobra.Command{
		Use:   "survey --index FILE --around PLACE -o FOLDER",
		Short: "Get to know a new teaching area, and plan a drive to look at it",
		Long: `Reports what an area offers for each exercise and topic, what the map does not
know of it, where the map contradicts itself, and what is to be left alone. With
--drive it plans a drive of your own past the roads whose answers would tell most,
with a sheet to fill in; "notes add --drive" takes the answers in.

It writes report.html and report.geojson, and drive.geojson and drive-sheet.html:
all of them or none, in place of a survey that is in the folder. A folder that
holds anything else is left alone.

` + placeHelp,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if err := required(c, "index", "around", "output"); err != nil {
				return err
			}
			d, err := desk.Open(index)
			if err != nil {
				return err
			}
			defer d.Close()
			r.Now, r.Done = time.Now(), c.Context().Done()
			found, err := d.Survey(r)
			if err != nil {
				return err
			}
			if err := found.Write(folder); err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, found)
			}
			printSaid(s.out, found.Said)
			fmt.Fprintf(s.out, "%s within %g minutes of %s.\n", counted(found.Report.Roads, "stretch", "stretches"), r.Within, found.Report.Near)
			if c := found.Drive; c != nil {
				fmt.Fprintf(s.out, "A drive past %s with %s, home after %.0f minutes.\n", counted(len(c.Examples), "road", "roads"), counted(len(c.PullUps), "stop", "stops"), c.Finish.AtS/60)
			}
			for _, f := range found.Files {
				fmt.Fprintln(s.out, "Wrote "+f+".")
			}
			return nil
		},
	}
	f := c.Flags()
	indexFlag(f, &index)
	f.StringVar(&r.Around, "around", "", "`PLACE` in the middle of the area")
	f.Float64Var(&r.Within, "within", 10, "`MINUTES` of driving")
	f.Float64Var(&r.Drive, "drive", 0, "`MINUTES` of a survey drive, none without it")
	f.StringVar(&r.Exercise, "exercise", "turn-in-the-road", "`NAME` of the exercise that the drive looks at roads for")
	f.StringVar(&r.When, "when", "", "of the drive, day and `TIME`, as \"2027-03-04 10:00\" (default: the next half hour)")
	f.Uint64Var(&r.Seed, "seed", 1, "another `NUMBER` may find another drive")
	f.StringVarP(&folder, "output", "o", "", "`FOLDER` to write into")
	jsonFlag(f, &asJSON)
	return c
}
