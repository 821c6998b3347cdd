package main

import (
	"fmt"
	"io"
	"sync/atomic"
	"time"
)

// patience before a person is told that something is still going on, and then
// between one line and the next.
const (
	firstWord = time.Second
	nextWord  = 5 * time.Second
)

// progress tells on stderr how far something is that takes longer than a
// second. What is quicker says nothing.
type progress struct {
	what        string
	done, total atomic.Uint64
}

// slowly does work that may take long, telling how far it is. The work reports
// to the progress as it goes, if it can.
func (g *globals) slowly(what string, work func(*progress) error) error {
	p := &progress{what: what}
	stop, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		p.tell(g.errs, stop)
	}()
	defer func() {
		close(stop)
		<-ended
	}()
	return work(p)
}

// report says how far the work is.
func (p *progress) report(done, total uint64) {
	p.done.Store(done)
	p.total.Store(total)
}

func (p *progress) tell(w io.Writer, stop <-chan struct{}) {
	begun := time.Now()
	for wait := firstWord; ; wait = nextWord {
		select {
		case <-stop:
			return
		case <-time.After(wait):
			fmt.Fprintln(w, p.line(time.Since(begun)))
		}
	}
}

func (p *progress) line(since time.Duration) string {
	if total := p.total.Load(); total > 0 {
		done := p.done.Load()
		return fmt.Sprintf("%s: %d of %d (%d %%)", p.what, done, total, done*100/total)
	}
	return fmt.Sprintf("%s: %d s so far", p.what, int(since.Seconds()))
}
