// Package cli is the command line: it parses, asks the desk, and prints. All
// that the page would want too lies below it. Results go to standard output,
// everything else to standard error; every command has --json, and its text
// and its JSON are two prints of one value.
package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loopwright/internal/desk"
)

// streams are where a command reads and prints.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// Run runs one command line and gives the exit status.
func Run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	s := streams{in, &plainWriter{to: out}, errs}
	err := settle(args)
	if err == nil {
		root := newRoot(s)
		root.SetArgs(args)
		err = root.ExecuteContext(ctx)
	}
	if err != nil {
		report(errs, err)
		if doubleClicked(s) {
			holdWindow(s)
		}
	}
	return statusOf(err)
}

// settle lays the settings file that --settings names over the tables. It goes
// first, since the help itself is made from the tables.
func settle(args []string) error {
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	f.ParseErrorsAllowlist.UnknownFlags = true
	f.Usage = func() {}
	f.SetOutput(io.Discard)
	path := f.String("settings", "", "")
	if err := f.Parse(args); err != nil || *path == "" {
		return nil // what is wrong with the flags is for the command to say
	}
	return desk.Settle(*path)
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "loopwright",
		Short: "Find roads for practising manoeuvres and plan the drive of a lesson",
		Long: `Loopwright finds the roads fit for a practice exercise in a map extract, says
why, and plans the drive of a lesson: past roads for the learner to judge, to a
place to practise, and home on time. It works with no network.

Start with a map extract of your area:
  loopwright index AREA.osm.pbf
  loopwright plan --index AREA.idx --from "Mill Lane" --exercise turn-in-the-road -o lesson.geojson

or do it all in the browser:
  loopwright serve AREA.osm.pbf

or see a lesson planned in an invented town:
  loopwright demo

` + exitHelp(),
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return wrongUse(c, fmt.Errorf("there is no command %q", args[0]))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if doubleClicked(s) {
				fmt.Fprintln(s.err, desktopHint)
				return runServe(c.Context(), s, serveOptions{address: "127.0.0.1:0", open: true})
			}
			return c.Help()
		},
	}
	root.PersistentFlags().String("settings", "", "`FILE` (YAML) laid over the tables that roads are judged by")
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return wrongUse(c, err) })
	cobra.EnableCommandSorting = false
	cobra.MousetrapHelpText = "" // a double click serves the page
	for _, c := range []*cobra.Command{
		newIndexCommand(s),
		newExercisesCommand(s),
		newPlacesCommand(s),
		newWhyCommand(s),
		newPlanCommand(s),
		newCheckCommand(s), newChangesCommand(s),
		newSendCommand(s),
		newCardCommand(s),
		newSheetCommand(s),
		newLearnerCardCommand(s),
		newGPXCommand(s),
		newHandBackCommand(s),
		newServeCommand(s),
		newSurveyCommand(s),
		newNotesCommand(s),
		newUsedCommand(s),
		newDemoCommand(s),
	} {
		c.Args = onlyArgs(c)
		c.Long += "\n\n" + exitHelp()
		root.AddCommand(c)
	}
	return root
}

// wrongUse names the command whose help will say how.
func wrongUse(c *cobra.Command, err error) error {
	return &desk.Fault{Kind: desk.WrongUse, Err: err, Hint: fmt.Sprintf("See `%s --help`.", c.CommandPath())}
}

// onlyArgs makes a wrong number of arguments wrong use.
func onlyArgs(c *cobra.Command) cobra.PositionalArgs {
	inner := c.Args
	if inner == nil {
		inner = cobra.NoArgs
	}
	return func(c *cobra.Command, args []string) error {
		if err := inner(c, args); err != nil {
			return wrongUse(c, err)
		}
		return nil
	}
}

// report prints an error as one sentence, and what to do next.
func report(w io.Writer, err error) {
	fmt.Fprintf(&plainWriter{to: w}, "loopwright: %v\n", err)
	var f *desk.Fault
	if errors.As(err, &f) && f.Hint != "" {
		fmt.Fprintln(w, f.Hint)
	}
}

// printJSON prints a result for programs.
func printJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
