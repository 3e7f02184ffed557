package main

import (
	"fmt"
	"furrow/cmd/furrow/internal/fault"
	"time"

	"github.com/schollz/progressbar/v3"
)

// progress is a bar on a terminal for work that takes over a second. Elsewhere
// it shows nothing.
type progress struct {
	a     *app
	name  string
	start time.Time
	bar   *progressbar.ProgressBar
}

func (a *app) progress(name string) *progress {
	return &progress{a: a, name: name, start: time.Now()}
}

func (p *progress) at(done, total int) {
	if p.bar == nil {
		if !fault.Terminal(p.a.stderr) || time.Since(p.start) < time.Second {
			return
		}
		p.bar = progressbar.NewOptions(total, progressbar.OptionSetWriter(p.a.stderr),
			progressbar.OptionSetDescription(p.name), progressbar.OptionClearOnFinish(),
			progressbar.OptionThrottle(100*time.Millisecond))
	}
	if p.bar.GetMax() != total {
		p.bar.ChangeMax(total)
	}
	p.bar.Set(done) // an error is one of the terminal's, which is no reason to stop
}

func (p *progress) end() {
	if p.bar != nil {
		p.bar.Finish()
		fmt.Fprint(p.a.stderr, "\r")
	}
}
