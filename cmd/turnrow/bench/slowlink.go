package bench

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"time"

	"turnrow/client"
	"turnrow/sync/simtest/workload"
)

// The slow link: a phone at the edge of a cell.
const (
	linkRate   = 64_000 / 8             // bytes a second
	linkDelay  = 300 * time.Millisecond // one way
	linkCuts   = 0.05                   // of connections
	linkWithin = 8_000                  // bytes: a cut falls somewhere before
	linkOwed   = 200                    // entries
)

// slowLink has devices, each of a farm of its own, bring what they owe the
// server over a slow link of their own. Some connections are cut; the device
// asks again until all is there.
func (b *bench) slowLink(ctx context.Context, _ int) (_ map[string]Figures, err error) {
	c := &crew{ctx: ctx, dir: b.folder("slow"), clock: newClock()}
	if err := errors.Join(os.MkdirAll(c.dir, 0o700), c.serve()); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, c.close()) }()
	for i := range b.Links {
		d, err := c.loner(fmt.Sprint("loner-", i))
		if err != nil {
			return nil, err
		}
		c.devices = append(c.devices, d)
	}
	c.clock.set(time.UnixMilli(workload.Begin + linkOwed*1000))
	all := make([]crossed, len(c.devices))
	err = c.each(func(i int, d *device) (err error) {
		all[i], err = c.cross(d, uint64(i))
		return err
	})
	if err != nil {
		return nil, err
	}
	return map[string]Figures{keySlowLink: crossings(all)}, nil
}

// loner is a device that has founded a farm and written what it owes.
func (c *crew) loner(name string) (*device, error) {
	d, err := c.open(name)
	if err != nil {
		return nil, err
	}
	things, err := c.founded(d, name)
	if err != nil {
		return nil, err
	}
	if _, err := d.Sync(c.ctx); err != nil {
		return nil, err
	}
	w, err := writer(d, c.home(name))
	if err != nil {
		return nil, err
	}
	runs, err := workload.Write([]*workload.Writer{w}, things, linkOwed)
	if err != nil {
		return nil, err
	}
	return c.wrote(d, name, runs)
}

// crossed is how one device fared.
type crossed struct {
	took  time.Duration
	bytes int64
	cuts  int64
}

// cross has a device bring what it owes over a link of its own.
func (c *crew) cross(d *device, seed uint64) (crossed, error) {
	ctx, cancel := context.WithTimeout(c.ctx, time.Minute)
	defer cancel()
	chance := rand.New(rand.NewPCG(42, seed))
	p, err := newProxy(ctx, c.server.Addr(), link{linkRate, linkDelay, func() (int, bool) {
		return chance.IntN(linkWithin), chance.Float64() < linkCuts
	}})
	if err != nil {
		return crossed{}, err
	}
	address := url.URL{Scheme: "turnrow", Host: p.addr(), Path: "/", RawQuery: url.Values{"pin": {c.server.Pin()}}.Encode()}
	begun := time.Now()
	_, err = d.At(ctx, address.String(), client.AtOptions{})
	for errors.Is(err, client.ErrAway) && ctx.Err() == nil {
		_, err = d.Sync(ctx)
	}
	took := time.Since(begun)
	if err == nil && d.Pending() > 0 {
		err = fmt.Errorf("%d entries are still pending", d.Pending())
	}
	return crossed{took, p.out.Load() + p.in.Load(), p.cuts.Load()}, err
}

// crossings is what the devices' crossings come to. The link's own time is
// that of the bytes at its rate, and of the two round trips that a connection
// and a question cannot do without.
func crossings(all []crossed) Figures {
	var took, ratio []float64
	least, sum, cuts := all[0].bytes, int64(0), int64(0)
	for _, x := range all {
		own := float64(x.bytes)/linkRate + seconds(2*2*linkDelay)
		took, ratio = append(took, seconds(x.took)), append(ratio, seconds(x.took)/own)
		sum, cuts = sum+x.bytes, cuts+x.cuts
		if x.cuts == 0 {
			least = min(least, x.bytes)
		}
	}
	n := float64(len(all))
	return Figures{
		"seconds": median(took), "slowest_seconds": quantile(took, 1), "times_link": median(ratio),
		"slowest_times_link": quantile(ratio, 1), "bytes": float64(sum) / n, "cuts": float64(cuts),
		"resent_bytes": float64(sum) - n*float64(least),
	}
}
