package main

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// refresh is how often the bar is drawn: often enough to look alive, seldom
// enough to cost nothing.
const refresh = 80 * time.Millisecond

// bar shows how far a run is, on a terminal only: a log or a pipe gets nothing.
type bar struct {
	out   io.Writer // nil: not a terminal
	stage string
	now   *progressbar.ProgressBar
}

func newBar(w io.Writer) *bar {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return &bar{out: f}
	}
	return &bar{}
}

// progress is the job's Progress.
func (b *bar) progress(stage string, done, total int) {
	if b.out == nil {
		return
	}
	if stage != b.stage {
		b.clear()
		b.stage = stage
		b.now = b.start(stage, total)
	}
	if total > 0 {
		b.now.ChangeMax(total)
		// the error is of a terminal that has gone away
		_ = b.now.Set(min(done, total))
	}
}

// start makes the bar of one stage; a stage of unknown length shows its name
// alone. Its spinner stands still: one that turns by itself goes on turning
// after its stage.
func (b *bar) start(stage string, total int) *progressbar.ProgressBar {
	if total <= 0 {
		total = -1
	}
	return progressbar.NewOptions(total,
		progressbar.OptionSetWriter(b.out),
		progressbar.OptionSetDescription(stage),
		progressbar.OptionSetWidth(30),
		progressbar.OptionThrottle(refresh),
		progressbar.OptionSetPredictTime(false),
		progressbar.OptionSetElapsedTime(false),
		progressbar.OptionSetSpinnerChangeInterval(0),
		progressbar.OptionSpinnerCustom([]string{"…"}),
		progressbar.OptionClearOnFinish(),
		progressbar.OptionSetRenderBlankState(true),
	)
}

// clear wipes the bar, so that what is printed next starts on a clean line.
func (b *bar) clear() {
	if b.now != nil {
		_ = b.now.Exit()
		_ = b.now.Clear()
		b.now = nil
	}
}
