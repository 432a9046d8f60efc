package main

import (
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// When progress is worth showing: at once for so many files, else once a run has
// lasted so long. A terminal narrower than the line would keep parts of it.
const (
	manyFiles        = 200
	longRun          = 2 * time.Second
	progressColumns  = 60
	progressInterval = 100 * time.Millisecond
)

// progress shows how far a long run has come: one line on the terminal that
// standard error is, erased before anything else is written there. No report knows
// of it.
//
// It ends for good with the first text on standard output, unless that is a file:
// the text would come out on the same terminal, itself or at the end of a pipe, and
// shows by itself how far the run has come.
type progress struct {
	now   func() time.Time
	began time.Time

	mu  sync.Mutex
	out io.Writer                // nil once nothing is shown any more, or from the start
	bar *progressbar.ProgressBar // nil until it is shown
}

// showProgress makes ready to show progress where that is possible, and returns
// with it the surroundings in which it steps aside for what is written.
func showProgress(around surroundings) (*progress, surroundings) {
	p := &progress{now: around.now}
	narrow := around.errColumns > 0 && around.errColumns < progressColumns
	if !around.errTerminal || narrow || around.env("TERM") == "dumb" {
		return p, around
	}
	p.out, p.began = around.stderr, p.now()
	around.stderr = aside{around.stderr, p.erase}
	if !around.stdoutIsFile {
		around.stdout = aside{around.stdout, p.end}
	}
	return p, around
}

// at says how many of the files have been read.
func (p *progress) at(read, files int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.out == nil || files == 0 {
		return
	}
	if p.bar == nil {
		if files < manyFiles && p.now().Sub(p.began) < longRun {
			return
		}
		p.bar = progressbar.NewOptions(files, progressbar.OptionSetWriter(p.out), progressbar.OptionSetDescription("reading job files"),
			progressbar.OptionSetWidth(16), progressbar.OptionShowCount(), progressbar.OptionSetPredictTime(false), progressbar.OptionSetElapsedTime(false),
			progressbar.OptionThrottle(progressInterval), progressbar.OptionUseANSICodes(true), progressbar.OptionClearOnFinish())
	}
	_ = p.bar.Set(read) // a terminal that takes no progress will not take the complaint either
}

// erase takes the line away; it comes back with the next file.
func (p *progress) erase() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.clear()
}

// end takes the line away for good.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.clear()
	p.out, p.bar = nil, nil
}

func (p *progress) clear() {
	if p.bar != nil {
		_ = p.bar.Clear() // see at
	}
}

// aside is a writer before which something has to step aside.
type aside struct {
	io.Writer
	step func()
}

// Write steps aside, then writes.
func (a aside) Write(b []byte) (int, error) {
	a.step()
	return a.Writer.Write(b)
}
