package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newGPXCommand(s streams) *cobra.Command {
	return handOverCommand(s, desk.GPX, &cobra.Command{
		Use:   "gpx FILE.geojson -o FILE.gpx",
		Short: "Make a GPX file of a planned drive",
		Long: `Makes a GPX 1.1 file of a circuit file: way points for where the car stands and
for the roads to judge, a route with a point for each direction, and a track.`,
	}, "GPX `FILE` to write (default: print it)")
}

// handOverCommand is the shape of the commands that make one file of another.
func handOverCommand(s streams, make func(path, out string) (*desk.HandedOver, error), c *cobra.Command, output string) *cobra.Command {
	var out string
	var asJSON bool
	c.Args = cobra.ExactArgs(1)
	c.RunE = func(c *cobra.Command, args []string) error {
		made, err := make(args[0], out)
		if err != nil {
			return err
		}
		return printHandedOver(s, made, asJSON)
	}
	c.Flags().StringVarP(&out, "output", "o", "", output)
	c.Flags().BoolVar(&asJSON, "json", false, "print what was made as JSON")
	return c
}

func printHandedOver(s streams, made *desk.HandedOver, asJSON bool) error {
	switch {
	case asJSON:
		return printJSON(s.out, made)
	case made.File == "":
		_, err := s.out.Write(made.Content)
		return err
	}
	fmt.Fprintf(s.err, "Written to %s.\n", made.File)
	return nil
}
