package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
)

type sendOptions struct {
	index, audience, output string
	asJSON                  bool
}

func newSendCommand(s streams) *cobra.Command {
	var o sendOptions
	c := &cobra.Command{
		Use:   "send FILE.geojson --for cover|anyone -o FILE.geojson",
		Short: "Make the file to send: to a colleague who takes the lesson, or to anyone",
		Long: `Makes of a circuit file the one to send.
  --for cover   for one colleague who takes the lesson: with the pick-up and what
                the learner needs, by initials or reference
  --for anyone  begins and ends at junctions where the home can't be told, and
                says nothing of the learner; needs the index of the plan
What is left out for anyone leaves no trace in the file. But send no two plans of
one learner to the same people: together they tell more than one does.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error { return runSend(s, c, o, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&o.audience, "for", "", "`WHOM`: cover or anyone")
	indexFlag(f, &o.index)
	f.StringVarP(&o.output, "output", "o", "", "circuit `FILE` to write (default: print it)")
	f.BoolVar(&o.asJSON, "json", false, "print what was made as JSON")
	return c
}

func runSend(s streams, c *cobra.Command, o sendOptions, file string) error {
	if err := required(c, "for"); err != nil {
		return err
	}
	var made *desk.HandedOver
	var err error
	switch o.audience {
	case circuit.ForCover:
		made, err = desk.SendForCover(file, o.output)
	case circuit.ForAnyone:
		if err := required(c, "index"); err != nil {
			return err
		}
		d, openErr := desk.Open(o.index)
		if openErr != nil {
			return openErr
		}
		defer d.Close()
		made, err = d.SendForAnyone(file, o.output)
	default:
		return wrongUse(c, fmt.Errorf("--for %q: say cover or anyone", o.audience))
	}
	if err != nil {
		return err
	}
	return printHandedOver(s, made, o.asJSON)
}
