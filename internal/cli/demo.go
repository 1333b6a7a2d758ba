package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newDemoCommand(s streams) *cobra.Command {
	var out string
	var asJSON bool
	c := &cobra.Command{
		Use:   "demo",
		Short: "Plan lessons in an invented town, to see what the tool does",
		Long: `Indexes an invented town that comes with the program, plans a lesson for each of
its invented learners, and writes the files to a folder.`,
		RunE: func(c *cobra.Command, args []string) error {
			progress, stop := progressOn(s.err)
			made, err := desk.Demo(c.Context(), out, progress)
			stop()
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, made)
			}
			for _, l := range made.Lessons {
				printCircuit(s.out, l.Circuit)
				fmt.Fprintf(s.out, "\nWritten to %s.\n\n", l.File)
			}
			fmt.Fprintf(s.out, "The town and its people are invented. Its index is %s.\n", made.Index)
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "loopwright-demo", "`FOLDER` to write to")
	jsonFlag(c.Flags(), &asJSON)
	return c
}
