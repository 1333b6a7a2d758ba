package cli

import (
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newHandBackCommand(s streams) *cobra.Command {
	return handOverCommand(s, desk.HandBack, &cobra.Command{
		Use:   "handback FILE.geojson",
		Short: "Make the card that goes back with the learner after cover",
		Long: `Makes a card of a circuit file: what was planned, with boxes to fill in by hand
for what was covered, the level, what is next, and how each road was. One page
to print, with nothing fetched from anywhere.`,
	}, "HTML `FILE` to write (default: print it)")
}
