package bench

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"iter"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"turnrow/client"
	"turnrow/server"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/wire"
)

// clock is the wall clock of all devices and the server: it begins the evening
// before the workload and can be put on.
type clock struct {
	begun time.Time
	ahead atomic.Int64
}

func newClock() *clock {
	c := &clock{begun: time.Now()}
	c.set(time.UnixMilli(workload.Begin).Add(-12 * time.Hour))
	return c
}

func (c *clock) now() time.Time { return time.Now().Add(time.Duration(c.ahead.Load())) }

func (c *clock) set(to time.Time) { c.ahead.Store(int64(time.Until(to))) }

// crew is a server and the devices of one farm, each with a home of its own.
type crew struct {
	ctx     context.Context
	dir     string
	clock   *clock
	server  *server.Server
	stop    func() error
	owner   *device
	devices []*device // those that write the workload
	empty   *device   // one that holds only what all hold
	things  workload.Things
	held    int                               // entries that all hold before the workload
	lines   int                               // of the workload that the devices have written apart
	pull    func() (int, workload.Line, bool) // the lines after those
	unpull  func()
}

func newCrew(ctx context.Context, dir string) (*crew, error) {
	c := &crew{ctx: ctx, dir: dir, clock: newClock(), stop: func() error { return nil }}
	if err := errors.Join(os.MkdirAll(dir, 0o700), c.serve()); err != nil {
		return nil, err
	}
	if err := c.found(); err != nil {
		return nil, errors.Join(err, c.close())
	}
	return c, nil
}

func (c *crew) serve() (err error) {
	c.server, err = server.New(server.Config{Data: filepath.Join(c.dir, "server"), Listen: "127.0.0.1:0", Now: c.clock.now})
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(c.ctx)
	ended := make(chan error, 1)
	go func() { ended <- c.server.Run(ctx) }()
	c.stop = func() error {
		cancel()
		return <-ended
	}
	return nil
}

func (c *crew) home(name string) string { return filepath.Join(c.dir, name) }

func (c *crew) open(name string) (*device, error) {
	h, err := client.Open(c.home(name), client.Options{Now: c.clock.now})
	if err != nil {
		return nil, err
	}
	d := &device{Home: h}
	if d.Farm, err = h.Farm(); errors.Is(err, client.ErrNoFarm) {
		err = nil
	}
	return d, err
}

// device is a home, and the farm that it is of; nil until it was founded or
// joined there.
type device struct {
	*client.Home
	*client.Farm
}

// found founds the farm, sets up the things, and has all devices join.
func (c *crew) found() (err error) {
	if c.owner, err = c.open("owner"); err != nil {
		return err
	}
	if c.things, err = c.founded(c.owner, "Bench"); err != nil {
		return err
	}
	for i := range workload.Devices {
		d, err := c.join(deviceName(i))
		if err != nil {
			return err
		}
		c.devices = append(c.devices, d)
	}
	return nil
}

// founded has a device found a farm at the server and set up the things.
func (c *crew) founded(d *device, name string) (t workload.Things, err error) {
	at, err := c.server.FoundingAddress()
	if err != nil {
		return t, err
	}
	f, err := d.Found(c.ctx, client.FoundOptions{Farm: name, Owner: "owner", At: at, DeviceName: "owner"})
	d.Farm = f.Farm
	if err = errors.Join(err, f.Away); err != nil {
		return t, err
	}
	_, err = d.RecordWith(c.ctx, entry.ID{}, func(_ client.Look, next func(int) entry.ID) (bs []entry.Body, _ error) {
		bs, t = workload.SetUp(next)
		return bs, nil
	})
	return t, err
}

func deviceName(i int) string { return fmt.Sprint("device-", i) }

// join has one more device join. Its person is the first of the workload's.
func (c *crew) join(name string) (*device, error) {
	invite, err := c.owner.Invite(c.ctx, "p0", entry.Operator)
	if err != nil {
		return nil, err
	}
	if _, err := c.owner.Sync(c.ctx); err != nil {
		return nil, err
	}
	d, err := c.open(name)
	if err != nil {
		return nil, err
	}
	j, err := d.Join(c.ctx, invite, name)
	d.Farm = j.Farm
	return d, errors.Join(err, j.Away)
}

// part has the devices write n lines of the workload, apart: they are carried
// into each device's store as it would have written them that day.
func (c *crew) part(n int) (err error) {
	if c.empty, err = c.join("empty"); err != nil {
		return err
	}
	if _, err = c.owner.Sync(c.ctx); err != nil {
		return err
	}
	c.held = int(c.owner.Digest().Entries)
	var writers []*workload.Writer
	for i, d := range c.devices {
		if _, err := d.Sync(c.ctx); err != nil {
			return err
		}
		w, err := writer(d, c.home(deviceName(i)))
		if err != nil {
			return err
		}
		w.Know(d.Digest().Frontier.Mark(c.owner.Device().Log()))
		writers = append(writers, w)
	}
	if _, err := c.empty.Sync(c.ctx); err != nil {
		return err
	}
	runs, err := workload.Write(writers, c.things, n)
	if err != nil {
		return err
	}
	c.lines = n
	c.clock.set(time.UnixMilli(workload.Begin + int64(n)*1000))
	return c.each(func(i int, d *device) (err error) {
		c.devices[i], err = c.wrote(d, deviceName(i), runs)
		return err
	})
}

// each does something with every device, all at once.
func (c *crew) each(do func(i int, d *device) error) error {
	errs := make([]error, len(c.devices))
	var wg sync.WaitGroup
	for i, d := range c.devices {
		wg.Go(func() { errs[i] = do(i, d) })
	}
	wg.Wait()
	return errors.Join(errs...)
}

// wrote puts runs of a device's own into its store, as it would have written
// them, and opens it again. Brought in by any door they would look like another's
// who has its key.
func (c *crew) wrote(d *device, name string, runs []entry.Run) (*device, error) {
	farm, own := d.ID(), d.Device()
	if err := d.Close(); err != nil {
		return nil, err
	}
	store, err := logstore.Open(filepath.Join(c.home(name), "store"), logstore.Options{})
	if err != nil {
		return nil, err
	}
	runs = slices.DeleteFunc(slices.Clone(runs), func(r entry.Run) bool { return r.Device != own })
	log, err := store.Farm(farm)
	if err == nil {
		var taken logstore.Taken
		if taken, err = log.Take(runs); err == nil && len(taken.Refused) > 0 {
			err = &taken.Refused[0]
		}
	}
	if err = errors.Join(err, store.Close()); err != nil {
		return nil, err
	}
	return c.open(name)
}

// writer writes on in a device's log.
func writer(d *device, home string) (*workload.Writer, error) {
	key, err := deviceKey(home)
	if err != nil {
		return nil, err
	}
	var file bytes.Buffer
	if _, err := d.CarryOut(&file); err != nil {
		return nil, err
	}
	head, err := headIn(&file, d.ID(), d.Device())
	return &workload.Writer{Head: head, Key: key}, err
}

// headIn follows a device's log through a carry file to its end.
func headIn(file *bytes.Buffer, id entry.FarmID, device entry.DeviceID) (head chain.Head, err error) {
	r, _, err := wire.NewCarryReader(file)
	for err == nil {
		var run entry.Run
		if run, err = r.Next(); err != nil || run.Device != device {
			continue
		}
		if run.First == 1 {
			if head, err = wire.Start(id, device, run.Entries[0]); err != nil {
				continue
			}
		}
		_, head, _, err = wire.Open(head, run, nil)
	}
	if head.Seq == 0 {
		return head, fmt.Errorf("device %s has no log: %w", device, err)
	}
	return head, nil
}

// deviceKey reads a device's private key from its home.
func deviceKey(home string) (ed25519.PrivateKey, error) {
	b, err := os.ReadFile(filepath.Join(home, "device.pem"))
	if err != nil {
		return nil, err
	}
	block, _ := pem.Decode(b)
	if block == nil {
		return nil, fmt.Errorf("%s holds no key", home)
	}
	key, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	private, ok := key.(ed25519.PrivateKey)
	if err != nil || !ok {
		return nil, fmt.Errorf("%s holds no device's key: %w", home, err)
	}
	return private, nil
}

// next is the bodies of the workload's next n lines.
func (c *crew) next(n int) []entry.Body {
	if c.pull == nil {
		c.pull, c.unpull = iter.Pull2(workload.Lines(math.MaxInt))
		for range c.lines {
			c.pull()
		}
	}
	bodies := make([]entry.Body, n)
	for i := range bodies {
		_, l, _ := c.pull()
		bodies[i] = c.things.Draft(l).Body
	}
	return bodies
}

// close ends it all.
func (c *crew) close() error {
	if c.unpull != nil {
		c.unpull()
	}
	errs := []error{c.stop()}
	for _, d := range append(c.devices, c.owner, c.empty) {
		if d != nil {
			errs = append(errs, d.Close())
		}
	}
	return errors.Join(append(errs, os.RemoveAll(c.dir))...)
}
