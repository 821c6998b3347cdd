package bench

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/simtest/workload"
)

const (
	mostFarms     = exchange.MaxFarms
	devicesOfMany = 4
	visitsOfMany  = 2    // of each farm, so that each is idle most of the time
	mostVisits    = 4000 // at each number of farms
)

// manyFarms has the devices of many farms come to one server in turn, each on
// a connection of its own, with one new entry each: first with a tenth of the
// farms there, then with all.
func (b *bench) manyFarms(ctx context.Context, _ int) (_ map[string]Figures, err error) {
	k, data, err := b.server(ctx)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, k.end()) }()
	out := Figures{"farms": float64(b.Farms)}
	var farms [][]*phone
	for _, part := range []struct {
		suffix string
		farms  int
	}{{"_of_a_tenth", b.Farms / 10}, {"", b.Farms}} {
		for len(farms) < part.farms {
			ps, err := oneOfMany(ctx, len(farms), data)
			if err != nil {
				return nil, fmt.Errorf("farm %d: %w", len(farms), err)
			}
			farms = append(farms, ps)
		}
		took, all, err := inTurn(ctx, farms)
		if err != nil {
			return nil, err
		}
		m, err := k.memory()
		if err != nil {
			return nil, err
		}
		out["exchanges_per_s"+part.suffix] = float64(len(took)) / seconds(all)
		out["p99_ms"+part.suffix] = quantile(took, 0.99)
		out["held_mb"+part.suffix] = float64(m.Held) / 1e6
	}
	idle := (out["held_mb"] - out["held_mb_of_a_tenth"]) * 1e6
	out["bytes_per_idle_farm"] = idle / float64(b.Farms-b.Farms/10)
	return map[string]Figures{keyManyFarms: out}, nil
}

func oneOfMany(ctx context.Context, i int, data string) ([]*phone, error) {
	f, err := workload.NewFarm(fmt.Sprint("One of many ", i), devicesOfMany-1)
	if err != nil {
		return nil, err
	}
	return settle(ctx, f, data)
}

// inTurn has the farms' devices come one after the other, as many at once as
// there are processors, and gives how long each took, ms.
func inTurn(ctx context.Context, farms [][]*phone) ([]float64, time.Duration, error) {
	workers := min(runtime.GOMAXPROCS(0), len(farms))
	took := make([][]float64, workers)
	errs := make([]error, workers)
	begun := time.Now()
	var all sync.WaitGroup
	for w := range workers {
		var mine [][]*phone // so that nobody else uses a phone meanwhile
		for i := w; i < len(farms); i += workers {
			mine = append(mine, farms[i])
		}
		all.Go(func() { took[w], errs[w] = visits(ctx, mine, min(visitsOfMany*len(farms), mostVisits)/workers) })
	}
	all.Wait()
	return slices.Concat(took...), time.Since(begun), errors.Join(errs...)
}

// visits has one device of each farm come, then the next one of each.
func visits(ctx context.Context, farms [][]*phone, n int) (took []float64, err error) {
	for i := range n {
		ps := farms[i%len(farms)]
		d, err := visit(ctx, ps[i/len(farms)%len(ps)])
		if err != nil {
			return nil, err
		}
		took = append(took, millis(d))
	}
	return took, nil
}

// visit is one device that connects, brings an entry, and takes what is new.
func visit(ctx context.Context, p *phone) (time.Duration, error) {
	run, err := p.Run(entry.Draft{Wall: time.Now().UnixMilli(), Body: &entry.Noted{Text: "gate left open"}})
	if err != nil {
		return 0, err
	}
	begun := time.Now()
	conn, err := p.dial()
	if err != nil {
		return 0, err
	}
	defer conn.Close()
	err = p.exchange(ctx, conn, run)
	return time.Since(begun), err
}
