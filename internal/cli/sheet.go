package cli

import (
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newSheetCommand(s streams) *cobra.Command {
	return handOverCommand(s, desk.Sheet, &cobra.Command{
		Use:   "sheet FILE.geojson",
		Short: "Make the planning sheet, to be read at home",
		Long: `Makes the planning sheet of a circuit file: two A4 pages with the map, the times,
the directions, the answers about the roads to judge, what to look for on the
day, the ways back after a missed turn, and the hills. One HTML file to print,
with nothing fetched from anywhere.`,
	}, "HTML `FILE` to write (default: print it)")
}
