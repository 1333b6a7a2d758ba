package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newNotesExportCommand(s streams) *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "export [-o FILE.geojson]",
		Short: "Write all notes to a file for colleagues",
		Long: `Writes all notes as GeoJSON, deleted ones too, so that what you deleted goes away
at your colleague's as well. It tells them your initials, the days, and where
you were.`,
		RunE: func(c *cobra.Command, args []string) error {
			return withNotes(func(b *desk.Notes) error {
				if out == "" {
					_, err := b.ExportTo(s.out)
					return err
				}
				n, err := b.Export(out)
				if err == nil {
					fmt.Fprintf(s.err, "%s: %d entries.\n", out, n)
				}
				return err
			})
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "`FILE` to write (default: print it)")
	return c
}

func newNotesImportCommand(s streams) *cobra.Command {
	var add, asJSON bool
	c := &cobra.Command{
		Use:   "import FILE.geojson [--add]",
		Short: "See what a colleague's notes would add, and add them",
		Long: `Says what a colleague's file would add. Only with --add is it added; it can then
be undone as a whole.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return withNotes(func(b *desk.Notes) error {
				in, err := b.Import(args[0], add, time.Now())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, in)
				}
				printImport(s.out, in)
				return nil
			})
		},
	}
	c.Flags().BoolVar(&add, "add", false, "add them")
	jsonFlag(c.Flags(), &asJSON)
	return c
}

func printImport(w io.Writer, in *desk.Import) {
	undo := func() { fmt.Fprintf(w, "To take it all back: `loopwright notes undo %s`.\n", in.ID) }
	if in.New == 0 {
		fmt.Fprintf(w, "%s has nothing that is not noted here already.\n", in.File)
		if in.Added {
			undo()
		}
		return
	}
	would := "would add"
	if in.Added {
		would = "added"
	}
	fmt.Fprintf(w, "%s %s %d of its %d entries, by %s, noted from %s to %s:\n", in.File, would, in.New, in.Revisions, strings.Join(in.Authors, ", "), in.First, in.Last)
	for _, k := range in.Counts {
		fmt.Fprintf(w, "  %-12s %d\n", k.Kind, k.Count)
	}
	if in.Changes > 0 {
		fmt.Fprintf(w, "Of these, %d delete or bring back notes that are here.\n", in.Changes)
	}
	if in.Added {
		undo()
	} else {
		fmt.Fprintln(w, "Nothing is added yet: say --add to add it.")
	}
}

func newNotesUndoCommand(s streams) *cobra.Command {
	var by string
	var asJSON bool
	c := &cobra.Command{
		Use:   "undo NOTE | import-N",
		Short: "Take back an import, delete a note, or bring it back",
		Long: `Takes back an import as a whole, as far as nobody else brought the same notes;
or deletes a note, named as the list names it, or brings a deleted one back.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return withNotes(func(b *desk.Notes) error {
				u, err := b.Undo(args[0], by, time.Now())
				if err != nil {
					return err
				}
				switch {
				case asJSON:
					return printJSON(s.out, u)
				case u.Note == nil:
					fmt.Fprintf(s.out, "Taken back: %d entries of %s.\n", u.Removed, u.What)
				case u.Back:
					fmt.Fprint(s.out, "Back again: ")
					printNote(s.out, *u.Note)
				default:
					fmt.Fprint(s.out, "Deleted: ")
					u.Note.Deleted = false // said already
					printNote(s.out, *u.Note)
				}
				return nil
			})
		},
	}
	byFlag(c, &by)
	jsonFlag(c.Flags(), &asJSON)
	return c
}

func newUsedCommand(s streams) *cobra.Command {
	var on, by string
	var asJSON bool
	c := &cobra.Command{
		Use:   "used FILE.geojson [--on DATE]",
		Short: "Note that a plan's places to practise were used, so that they rest",
		Long: `Notes that the places to practise of a planned drive were used. Plans of the next
days let them rest.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return withNotes(func(b *desk.Notes) error {
				used, err := b.Used(args[0], on, by, time.Now())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, map[string]any{"used": used})
				}
				for _, place := range used {
					if place.Before {
						fmt.Fprint(s.out, "Noted before: ")
					} else {
						fmt.Fprint(s.out, "Noted: ")
					}
					printNote(s.out, place.NoteRow)
				}
				return nil
			})
		},
	}
	c.Flags().StringVar(&on, "on", "", "the `DAY`, or day and time, as \"2027-03-04 10:00\" (default: as planned)")
	byFlag(c, &by)
	jsonFlag(c.Flags(), &asJSON)
	return c
}
