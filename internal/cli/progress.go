package cli

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// A bar shows how far long work is, on a terminal only. The nil bar shows nothing.
type bar struct {
	b    *progressbar.ProgressBar
	last int
}

// quick is so little work that a bar would only flicker.
const quick = 20_000

// slow is a bar for total steps of some work, named by a text; nil where there is
// no terminal to show it on, or too little to do.
func (a *app) slow(key string, total int) *bar {
	if total < quick {
		return nil
	}
	return a.working(key, total)
}

// working is a bar for work that takes long whatever its number of steps.
func (a *app) working(key string, total int) *bar {
	if !isTerminal(a.Err) {
		return nil
	}
	return &bar{b: progressbar.NewOptions(total,
		progressbar.OptionSetWriter(a.Err),
		progressbar.OptionSetDescription(a.say().Say(key)),
		progressbar.OptionSetWidth(30),
		progressbar.OptionThrottle(100*time.Millisecond),
		progressbar.OptionClearOnFinish())}
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// at moves the bar to n steps.
func (b *bar) at(n int) {
	if b != nil && n > b.last {
		b.last = n
		_ = b.b.Set(n)
	}
}

// of moves the bar, whose total may become known only now.
func (b *bar) of(n, total int) {
	if b == nil {
		return
	}
	if b.b.GetMax() != total {
		b.b.ChangeMax(total)
	}
	b.at(n)
}

func (b *bar) end() {
	if b != nil {
		_ = b.b.Finish()
	}
}
