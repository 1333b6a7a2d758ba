package cli

import (
	"github.com/spf13/cobra"

	"loopwright/internal/desk"
)

func newLearnerCardCommand(s streams) *cobra.Command {
	return handOverCommand(s, desk.LearnerCard, &cobra.Command{
		Use:   "learner-card FILE.geojson",
		Short: "Make the learner's card: the exercise from above",
		Long: `Makes the learner's card of a circuit file: one A4 page with a large diagram of
the exercise in its stages, to scale on the practice road where its width is
known, and on a usual road where it is not. One HTML file to print, with nothing
fetched from anywhere.`,
	}, "HTML `FILE` to write (default: print it)")
}
