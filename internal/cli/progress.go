package cli

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"loopwright/internal/desk"
)

// progressOn gives a progress bar on standard error where that is a terminal,
// and nothing where it is a file or a pipe. Stop clears the bar.
func progressOn(w io.Writer) (progress desk.Progress, stop func()) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, func() {}
	}
	var bar *progressbar.ProgressBar
	var current string
	stop = func() {
		if bar != nil {
			_ = bar.Clear()
		}
	}
	return func(stage string, done, total int64) {
		if bar == nil || stage != current {
			stop()
			current = stage
			bar = progressbar.NewOptions64(total,
				progressbar.OptionSetWriter(w),
				progressbar.OptionSetDescription(stage),
				progressbar.OptionSetWidth(30),
				progressbar.OptionThrottle(100*time.Millisecond),
				progressbar.OptionSetPredictTime(false),
				progressbar.OptionClearOnFinish())
		}
		_ = bar.Set64(done)
	}, stop
}
