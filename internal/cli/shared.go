package cli

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loopwright/internal/assess"
	"loopwright/internal/desk"
)

const placeHelp = `A PLACE is one of
  52.6701,-0.7290          a point, within 200 m of a road
  "Mill Lane"              a road; "Mill Lane, Ashby" where several have the name
  "Mill Lane & High Street"   where two roads meet
  "ZZ1 2AB"                a postcode that the map has
  w123+45l                 the name of a kerb, as other answers give it`

func indexFlag(f *pflag.FlagSet, p *string) {
	f.StringVar(p, "index", "", "index `FILE`, made by loopwright index")
}

func exerciseFlag(f *pflag.FlagSet, p *string) {
	f.StringVar(p, "exercise", "", "`NAME`, as turn-in-the-road; loopwright exercises lists them")
}

func jsonFlag(f *pflag.FlagSet, p *bool) {
	f.BoolVar(p, "json", false, "print the result as JSON")
}

// required says which flags are missing, in one sentence.
func required(c *cobra.Command, names ...string) error {
	var missing []string
	for _, n := range names {
		if !c.Flags().Changed(n) {
			missing = append(missing, "--"+n)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return wrongUse(c, fmt.Errorf("say %s", strings.Join(missing, " and ")))
}

// counted is a number with its noun.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func printSaid(w io.Writer, said ...string) {
	for _, s := range said {
		if s != "" {
			fmt.Fprintln(w, s)
		}
	}
}

func printAge(w io.Writer, t *time.Time) {
	if t == nil {
		fmt.Fprintln(w, "The map does not say how old its data is.")
		return
	}
	fmt.Fprintf(w, "Map data of %s.\n", t.Format("2 January 2006"))
}

// verdictHeading is the verdict as an instructor reads it.
func verdictHeading(v assess.Verdict) string { return desk.VerdictWords(v) }
