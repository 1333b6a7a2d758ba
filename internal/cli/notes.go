package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwright/internal/desk"
	"loopwright/internal/notes"
)

func newNotesCommand(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "notes",
		Short: "Note what you saw or did, and share it with colleagues",
		Long: `What you note outranks the map, and lasts: it finds its road again on a newer
map. It stays on this computer until you share it.`,
		RunE: func(c *cobra.Command, args []string) error { return c.Help() },
	}
	for _, sub := range []*cobra.Command{newNotesAddCommand(s), newNotesListCommand(s), newNotesExportCommand(s), newNotesImportCommand(s), newNotesUndoCommand(s)} {
		sub.Args = onlyArgs(sub)
		sub.Long += "\n\n" + exitHelp()
		c.AddCommand(sub)
	}
	return c
}

func byFlag(c *cobra.Command, to *string) {
	c.Flags().StringVar(to, "by", "", "whose note it is: `INITIALS` (default: as the last one)")
}

// withNotes opens the notes for one command.
func withNotes(work func(*desk.Notes) error) error {
	b, err := desk.OpenNotes()
	if err != nil {
		return err
	}
	if err := work(b); err != nil {
		b.Close()
		return err
	}
	return b.Close()
}

func newNotesAddCommand(s streams) *cobra.Command {
	var index string
	var asJSON bool
	var drive string
	var r desk.NoteRequest
	c := &cobra.Command{
		Use:   "add KIND [VALUE] --at PLACE --index FILE",
		Short: "Note something of a place",
		Long: `Notes something of a place, or with --drive FILE what was written down on a survey
drive, one line a road:
` + kindsHelp() + `

` + placeHelp,
		Args: cobra.RangeArgs(0, 2),
		RunE: func(c *cobra.Command, args []string) error {
			if drive != "" {
				if len(args) > 0 || r.At != "" {
					return wrongUse(c, fmt.Errorf("--drive takes its answers line by line: leave out KIND, VALUE and --at"))
				}
				if err := required(c, "index"); err != nil {
					return err
				}
				return addFromDrive(s, index, drive, r.By, r.On, asJSON)
			}
			if len(args) == 0 {
				return wrongUse(c, fmt.Errorf("say what KIND of note it is"))
			}
			if err := required(c, "index", "at"); err != nil {
				return err
			}
			r.Kind = args[0]
			if len(args) > 1 {
				r.Value = args[1]
			}
			d, err := desk.Open(index)
			if err != nil {
				return err
			}
			defer d.Close()
			r.Now = time.Now()
			row, err := d.AddNote(r)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(s.out, row)
			}
			fmt.Fprintf(s.out, "Noted: ")
			printNote(s.out, *row)
			return nil
		},
	}
	f := c.Flags()
	indexFlag(f, &index)
	f.StringVar(&r.At, "at", "", "the `PLACE`")
	f.StringVar(&drive, "drive", "", "a survey drive's `FILE`: takes its answers in")
	f.StringVar(&r.How, "how", "", "of a width, `HOW` it was measured: tape, paces, \"car lengths\", \"by eye\"")
	f.StringVar(&r.On, "on", "", "the `DAY` it was seen, or day and time, as \"2027-03-04 10:00\" (default: now)")
	f.StringVar(&r.From, "from", "", "of a closure, the first `DAY`")
	f.StringVar(&r.Until, "until", "", "of a closure, the last `DAY`")
	f.StringVar(&r.Hours, "hours", "", "when it holds: `HOURS`, as \"Mo-Fr 08:00-09:30\"")
	f.StringVar(&r.Exercise, "exercise", "", "of use and suits, the `NAME` of the exercise")
	f.StringVar(&r.Text, "text", "", "`TEXT` of your own")
	byFlag(c, &r.By)
	jsonFlag(f, &asJSON)
	return c
}

// kindsHelp lists the kinds with what each says.
func kindsHelp() string {
	values := map[notes.Kind]string{
		notes.Width: "METRES --how HOW", notes.Sight: "METRES | blocked", notes.Closure: "[--from DAY] [--until DAY] [--hours HOURS]",
		notes.Bins: "--hours HOURS", notes.Market: "--hours HOURS", notes.Text: "TEXT", notes.Use: "[--exercise NAME]",
	}
	var b strings.Builder
	for _, k := range notes.Kinds() {
		value := values[k]
		if value == "" {
			var words []string
			for _, w := range k.Words() {
				words = append(words, w.String())
			}
			value = strings.Join(words, " | ")
		}
		if k == notes.Suits {
			value += " --exercise NAME"
		}
		fmt.Fprintf(&b, "  %s\n", strings.TrimSpace(fmt.Sprintf("%-12s %s", k, value)))
	}
	return strings.TrimRight(b.String(), "\n")
}

// printNote prints a note as one line.
func printNote(w io.Writer, r desk.NoteRow) {
	road := r.Road
	if road == "" {
		road = "unnamed road"
	}
	line := fmt.Sprintf("%s  %s  %s, %s (%s): %s", r.ID, r.Day, r.Author, road, r.Kerb, r.Says)
	if r.Text != "" {
		line += "; " + r.Text
	}
	if r.Deleted {
		line += " [deleted]"
	}
	if r.Unplaced {
		line += " [no road for it on this map]"
	}
	fmt.Fprintln(w, line)
}

func newNotesListCommand(s streams) *cobra.Command {
	var index string
	var deleted, asJSON bool
	c := &cobra.Command{
		Use:   "list [--index FILE]",
		Short: "List what is noted",
		Long: `Lists all notes, the oldest first. With --index it says which of them have no
road on that map; they are kept all the same.`,
		RunE: func(c *cobra.Command, args []string) error {
			return withNotes(func(b *desk.Notes) error {
				var d *desk.Desk
				if index != "" {
					var err error
					if d, err = desk.Open(index); err != nil {
						return err
					}
					defer d.Close()
				}
				rows, err := b.List(d, deleted)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, rows)
				}
				for _, r := range rows {
					printNote(s.out, r)
				}
				if len(rows) == 0 {
					fmt.Fprintln(s.out, "Nothing is noted.")
				}
				return nil
			})
		},
	}
	indexFlag(c.Flags(), &index)
	c.Flags().BoolVar(&deleted, "deleted", false, "deleted ones too")
	jsonFlag(c.Flags(), &asJSON)
	return c
}
