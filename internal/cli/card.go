package cli

import (
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newCardCommand(s streams) *cobra.Command {
	return handOverCommand(s, desk.Card, &cobra.Command{
		Use:   "card FILE.geojson",
		Short: "Make the card for the car, to be read only when parked",
		Long: `Makes the car card of a circuit file: A5 pages in large type, a panel from each
stop to the next, with the roads to judge, the practice place, and the times by
which to practise, to leave and to be home. One HTML file to print, with nothing
fetched from anywhere. Read it only when parked.`,
	}, "HTML `FILE` to write (default: print it)")
}
