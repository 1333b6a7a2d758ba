package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newCheckCommand(s streams) *cobra.Command {
	var index, when string
	var asJSON bool
	c := &cobra.Command{
		Use:   "check FILE.geojson --index FILE",
		Short: "Read a planned drive against the map, as whoever receives it should",
		Long: `Reads a circuit file against the map and says what no longer holds, and what that
means: the map has changed, a road may not be driven so, the drive is too long
now, a place does not fit, or it will be dark by then.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := required(c, "index"); err != nil {
				return err
			}
			d, err := desk.Open(index)
			if err != nil {
				return err
			}
			defer d.Close()
			checked, err := d.CheckOn(args[0], when)
			if checked == nil {
				return err
			}
			if asJSON {
				return errors.Join(err, printJSON(s.out, checked))
			}
			for _, b := range checked.Broken {
				fmt.Fprintln(s.out, b)
			}
			for _, n := range checked.Noted {
				fmt.Fprintf(s.out, "Noted: %s.\n", n)
			}
			if len(checked.Broken) == 0 {
				fmt.Fprintf(s.out, "%s holds on this map.\n", checked.File)
			}
			return err
		},
	}
	indexFlag(c.Flags(), &index)
	c.Flags().StringVar(&when, "when", "", "day and `TIME` of the lesson, as \"2027-03-04 10:00\" (default: as planned)")
	jsonFlag(c.Flags(), &asJSON)
	return c
}
