package bench

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"turnrow/client/transport"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/simtest/workload"
)

const (
	mostWatchers = 18_000 // below what a server lets watch at once
	notices      = 7      // entries recorded for each number of watchers
	// devicesPerFarm and so many watches of each is the most that one farm's
	// devices may hold; more watchers are spread over several farms, each of
	// which is told of an entry of its own at the same moment.
	devicesPerFarm = 500 // in one run of the founder each
	watchesEach    = exchange.WatchesPerDevice
	handshakes     = 32 // at once, so that none waits too long for a processor
)

// fanOut has watchers listen, each on a connection of its own, and measures
// how long after an entry is brought each of them has heard.
func (b *bench) fanOut(ctx context.Context, _ int) (_ map[string]Figures, err error) {
	k, data, err := b.server(ctx)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, k.end()) }()
	a := &audience{bench: b, data: data}
	defer func() { err = errors.Join(err, a.close()) }()
	out := Figures{}
	few := max(1, b.Watchers/100)
	for _, n := range []int{few, b.Watchers} {
		before, err := k.memory()
		if err != nil {
			return nil, err
		}
		had := len(a.watches)
		if err := a.grow(ctx, n); err != nil {
			return nil, err
		}
		after, err := k.memory()
		if err != nil {
			return nil, err
		}
		half, most, err := a.notices(ctx)
		if err != nil {
			return nil, err
		}
		suffix := ""
		if n == few {
			suffix = "_of_a_hundredth"
		}
		out["median_ms"+suffix], out["p99_ms"+suffix] = half, most
		out["watchers"+suffix] = float64(n)
		out["kb_per_watcher"+suffix] = float64(int64(after.Held)-int64(before.Held)) / float64(n-had) / 1000
	}
	if err := a.busy(ctx, k, out); err != nil {
		return nil, err
	}
	return map[string]Figures{keyFanOut: out}, nil
}

// audience is watchers and the farms that they listen to.
type audience struct {
	*bench
	data    string
	farms   []*workload.Farm
	phones  [][]*phone // of each farm
	watches []*watcher
	ended   sync.WaitGroup
	heard   atomic.Pointer[chan time.Time]
	failed  atomic.Pointer[error]
}

// watcher is one that listens.
type watcher struct {
	*phone
	conn *transport.Conn
	stop context.CancelFunc
}

// grow adds watchers up to n, and returns when all listen.
func (a *audience) grow(ctx context.Context, n int) error {
	for len(a.farms)*devicesPerFarm*watchesEach < n {
		if err := a.addFarm(ctx); err != nil {
			return err
		}
	}
	heard := make(chan time.Time, n)
	a.heard.Store(&heard)
	for deaf := 0; len(a.watches) < n || deaf > 0; deaf++ {
		if deaf == handshakes || len(a.watches) == n {
			if err := a.wait(ctx, heard, deaf); err != nil {
				return err
			}
			deaf = 0
		}
		if len(a.watches) == n {
			break
		}
		i := len(a.watches)
		if err := a.listen(ctx, a.phones[i/(devicesPerFarm*watchesEach)][1+i%devicesPerFarm]); err != nil {
			return err
		}
	}
	return nil
}

func (a *audience) addFarm(ctx context.Context) error {
	f, err := workload.NewFarm(fmt.Sprint("Watched ", len(a.farms)), devicesPerFarm)
	if err != nil {
		return err
	}
	ps, err := settle(ctx, f, a.data)
	a.farms, a.phones = append(a.farms, f), append(a.phones, ps)
	return err
}

// listen has one more watch. Whatever it hears goes to the channel of the
// moment.
func (a *audience) listen(ctx context.Context, p *phone) error {
	conn, err := p.dial()
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	a.watches = append(a.watches, &watcher{p, conn, stop})
	a.ended.Go(func() {
		err := conn.Watch(ctx, p.Head.Farm, p.have, func(exchange.Admission) { *a.heard.Load() <- time.Now() })
		if ctx.Err() == nil {
			a.failed.Store(&err)
		}
	})
	return nil
}

// wait waits until n have heard.
func (a *audience) wait(ctx context.Context, heard chan time.Time, n int) error {
	for range n {
		select {
		case <-heard:
		case <-time.After(time.Minute):
			if err := a.failed.Load(); err != nil {
				return fmt.Errorf("a watch ended: %w", *err)
			}
			return errors.New("a watcher has heard nothing for a minute")
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// notices has each farm's owner bring an entry, several times, and gives the
// median of the watchers' median and 99th percentile, in ms.
func (a *audience) notices(ctx context.Context) (half, most float64, err error) {
	var conns []*transport.Conn
	for i := range a.farms {
		c, err := a.phones[i][0].dial()
		if err != nil {
			return 0, 0, err
		}
		defer c.Close()
		conns = append(conns, c)
	}
	var halves, mosts []float64
	for range notices {
		took, err := a.notice(ctx, conns)
		if err != nil {
			return 0, 0, err
		}
		halves, mosts = append(halves, quantile(took, 0.5)), append(mosts, quantile(took, 0.99))
	}
	return median(halves), median(mosts), nil
}

func (a *audience) notice(ctx context.Context, conns []*transport.Conn) ([]float64, error) {
	heard := make(chan time.Time, len(a.watches))
	a.heard.Store(&heard)
	runs := make([]entry.Run, len(a.farms))
	for i := range a.farms {
		var err error
		owner := a.phones[i][0]
		runs[i], err = owner.Run(entry.Draft{Wall: time.Now().UnixMilli(), Body: &entry.Noted{Text: "gate left open"}})
		if err != nil {
			return nil, err
		}
	}
	begun := time.Now()
	errs := make([]error, len(conns))
	var all sync.WaitGroup
	for i := range conns {
		all.Go(func() { errs[i] = a.phones[i][0].exchange(ctx, conns[i], runs[i]) })
	}
	all.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	var took []float64
	for range a.watches {
		select {
		case at := <-heard:
			took = append(took, millis(at.Sub(begun)))
		case <-time.After(time.Minute):
			return nil, fmt.Errorf("%d of %d watchers heard", len(took), len(a.watches))
		}
	}
	return took, nil
}

const (
	busyDevices = 64 // of the first farm, or as many as it has
	busyRounds  = 50 // exchanges of each, at most, and a hundredth of the watchers
)

// busy has devices exchange, each on a connection of its own and one entry at a
// time, while all others listen, and gives what that takes of the server.
func (a *audience) busy(ctx context.Context, k *child, out Figures) error {
	before, err := k.memory()
	if err != nil {
		return err
	}
	heard := make(chan time.Time, len(a.watches))
	a.heard.Store(&heard)
	deaf, stop := context.WithCancel(ctx) // what is heard counts for nothing here
	defer stop()
	go func() {
		for {
			select {
			case <-heard:
			case <-deaf.Done():
				return
			}
		}
	}()
	phones := a.phones[0][:min(busyDevices, len(a.phones[0]))]
	rounds := min(busyRounds, max(2, len(a.watches)/100))
	errs := make([]error, len(phones))
	var refused atomic.Int64
	begun := time.Now()
	var all sync.WaitGroup
	for i, p := range phones {
		all.Go(func() { errs[i] = p.rounds(ctx, rounds, &refused) })
	}
	all.Wait()
	took := time.Since(begun)
	after, err := k.memory()
	if err := errors.Join(append(errs, err)...); err != nil {
		return err
	}
	n := float64(len(phones) * rounds)
	out["busy_devices"], out["busy_exchanges_per_s"] = float64(len(phones)), n/seconds(took)
	out["busy_refused"] = float64(refused.Load())
	out["busy_cpu_ms_per_exchange"] = millis(after.CPU-before.CPU) / n
	out["peak_mb"] = float64(after.Peak) / 1e6
	return nil
}

// rounds has a phone bring one entry after the other. Where it is sent away it
// comes again at once, as a device would that does not obey.
func (p *phone) rounds(ctx context.Context, n int, refused *atomic.Int64) error {
	conn, err := p.dial()
	if err != nil {
		return err
	}
	defer conn.Close()
	for range n {
		run, err := p.Run(entry.Draft{Wall: time.Now().UnixMilli(), Body: &entry.Noted{Text: "gate left open"}})
		if err != nil {
			return err
		}
		err = p.exchange(ctx, conn, run)
		for errors.Is(err, exchange.ErrBusy) && ctx.Err() == nil {
			refused.Add(1)
			err = p.exchange(ctx, conn, run)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (a *audience) close() error {
	for _, w := range a.watches {
		w.stop()
	}
	a.ended.Wait()
	var errs []error
	for _, w := range a.watches {
		errs = append(errs, w.conn.Close())
	}
	return errors.Join(errs...)
}
