package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

type exercisesOptions struct {
	country string
	asJSON  bool
}

func newExercisesCommand(s streams) *cobra.Command {
	var o exercisesOptions
	c := &cobra.Command{
		Use:   "exercises",
		Short: "List the exercises and what each needs of a road",
		Long:  `Lists the exercises, the room that each takes, which way the car faces afterwards, and what is asked of a road, each with its source.`,
		RunE: func(c *cobra.Command, args []string) error {
			list, err := desk.Exercises(o.country)
			if err != nil {
				return err
			}
			if o.asJSON {
				return printJSON(s.out, list)
			}
			printExercises(s.out, list)
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&o.country, "country", "gb", "`CODE` of the country whose units and distances to use")
	jsonFlag(f, &o.asJSON)
	return c
}

func printExercises(w io.Writer, list *desk.ExerciseList) {
	for i, ex := range list.Exercises {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s (%s)\n  %s; %s; the car then %s.\n", ex.Title, ex.Name, ex.Room, counted(ex.Goes, "go", "goes"), ex.Afterwards)
		for _, n := range ex.Needs {
			fmt.Fprintf(w, "  %s\n", n.Asks)
		}
	}
}
