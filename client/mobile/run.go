package mobile

import (
	"context"
	"encoding/json"
	"errors"
	"sync"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/sync/farm"
)

// Listener is what an app hears of while Run runs. Calls come one at a time, on a
// thread of Run's, which waits for them: take note and return.
type Listener interface {
	// Changed is called once to begin with, and after entries were written or came
	// in, or an exchange ended. Changes that come while it is called are one.
	Changed()
	// Held is called once for each open hold, an answer.Held: nobody works that
	// drill. Whether it was released, View says.
	Held(hold string)
}

// Run keeps this device level with the farm's server, from when there is one, and
// calls the listener, until Stop or Close; it returns then, without an error. Call
// it on a thread of its own. A server that is away is no error: it goes on by
// itself. Errors are no-farm, and failed where it runs already.
func (h *Home) Run(hears Listener) error {
	ctx, done, err := h.begin()
	if err != nil {
		return err
	}
	defer done()
	told := map[string]bool{}
	for ctx.Err() == nil {
		f, err := h.home.Farm()
		if err != nil {
			return unless(ctx, err)
		}
		err = runOn(ctx, f, hears, told)
		if !errors.Is(err, client.ErrClosed) { // else the home may have taken another identity
			return unless(ctx, err)
		}
	}
	return nil
}

// Stop ends Run, which returns soon after. It may be called from a Listener.
func (h *Home) Stop() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.running != nil {
		h.running()
	}
}

// begin admits one run at a time. It gives the context that Stop and Close end,
// and the function that ends the run.
func (h *Home) begin() (context.Context, func(), error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch {
	case h.home == nil || h.ends.Err() != nil:
		return nil, nil, failed(client.ErrClosed)
	case h.running != nil:
		return nil, nil, failed(errRuns)
	}
	ctx, stop := context.WithCancel(h.ends)
	h.running = stop
	h.work.Add(1)
	return ctx, func() {
		h.mu.Lock()
		h.running = nil
		h.mu.Unlock()
		stop()
		h.work.Done()
	}, nil
}

// unless is an error, but where the context has ended, which is none.
func unless(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return nil
	}
	return failed(err)
}

// runOn keeps one farm level and tells of its changes, until the context ends, or
// the farm is closed (client.ErrClosed).
func runOn(ctx context.Context, f *client.Farm, hears Listener, told map[string]bool) error {
	both, stop := context.WithCancel(ctx)
	defer stop()
	var level sync.WaitGroup
	var levelled error
	level.Go(func() {
		defer stop()
		levelled = f.KeepLevel(both)
	})
	for v := range f.Changes(both) {
		hears.Changed()
		r := report.Report{Farm: f, View: func() *farm.View { return v }, System: system(f)}
		tellHolds(r.Held(), hears, told)
	}
	stop()
	level.Wait()
	if levelled == nil && ctx.Err() == nil {
		return client.ErrClosed // which alone ends both before the context
	}
	return levelled
}

// tellHolds tells of the open holds that were not told of before.
func tellHolds(open []answer.Held, hears Listener, told map[string]bool) {
	for _, hold := range open {
		if key := hold.Drill + " " + hold.Entry; !told[key] {
			told[key] = true
			b, err := json.Marshal(hold)
			if err == nil {
				hears.Held(string(b))
			}
		}
	}
}
