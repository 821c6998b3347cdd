package replica

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/token"
)

// Farms is where a Door finds the farms that are kept behind it.
type Farms interface {
	// Farm gives a farm's replica until release is called, or exchange.ErrFarm.
	Farm(id entry.FarmID) (r *Replica, release func(), err error)
	// Found makes a place for a farm that is not kept here yet, where the code
	// allows it: exchange.ErrFarm where there is no code, exchange.ErrFounding
	// where it does not count.
	Found(id entry.FarmID, run entry.Run, code string) error
}

// Door answers the calls of devices: who may, and how many at once. What goes
// wrong comes back as an *exchange.Failure, fit to be sent.
type Door struct {
	farms     Farms
	gen       exchange.Generation
	audiences func() []string // name this server in tokens
	now       func() time.Time
	log       *slog.Logger

	calls, watches *gate

	// Heard is told what a device says that it holds durably. Nil is nobody.
	// It is set before the first call.
	Heard func(d entry.DeviceID, have chain.Frontier)
	// Joined is told of a log that was taken in on an invite, before its device
	// is answered: whoever may admits it here. Nil is nobody. It is set before the
	// first call.
	Joined func(r *Replica, d entry.DeviceID)
}

// NewDoor is a door before farms. The audiences are what tokens for this
// server may name: one for each certificate that it shows.
func NewDoor(farms Farms, gen exchange.Generation, audiences func() []string, now func() time.Time, log *slog.Logger) *Door {
	return &Door{
		farms: farms, gen: gen, audiences: audiences, now: now, log: log,
		calls:   newGate(exchange.CallsInFlight, exchange.CallsAtOnce),
		watches: newGate(exchange.WatchesPerDevice, exchange.WatchesAtOnce),
	}
}

// Exchange answers one exchange of the device that the token speaks for.
func (d *Door) Exchange(text string, req exchange.Request) (exchange.Response, error) {
	var resp exchange.Response
	err := d.admit(text, req.Farm, d.calls, func(r *Replica, who token.Caller) (err error) {
		if len(req.Runs) > exchange.MaxRuns {
			return fmt.Errorf("%w: %d runs in a call, %d at most", exchange.ErrBound, len(req.Runs), exchange.MaxRuns)
		}
		if d.Heard != nil {
			d.heard(r, who.Device, req.Have)
		}
		resp, err = r.Exchange(req)
		return err
	})
	return resp, err
}

// heard tells who wants to know what a device has of the logs known here.
func (d *Door) heard(r *Replica, dev entry.DeviceID, have chain.Frontier) {
	if whole, err := have.Whole(r.Have()); err == nil {
		d.Heard(dev, whole.Named())
	}
}

// Watch tells the device that the token speaks for of new entries, until the
// context ends, send fails, or the device may not watch any longer.
func (d *Door) Watch(ctx context.Context, text string, farm entry.FarmID, have chain.Frontier, send func(exchange.Generation, chain.Frontier) error) error {
	return d.admit(text, farm, d.watches, func(r *Replica, who token.Caller) error {
		return r.Watch(ctx, who.Device, have, func(f chain.Frontier) error { return send(d.gen, f) })
	})
}

// Join takes in a device's log on its invite, or a farm on a founding code.
// There is no token yet: the run itself proves what it claims.
func (d *Door) Join(id entry.FarmID, run entry.Run, code string) (exchange.Admission, error) {
	leave, err := d.calls.enter(token.Caller{Farm: id}, d.now())
	if err != nil {
		return exchange.Admission{}, d.failure(err)
	}
	defer leave()
	a, err := d.join(id, run, code)
	return a, d.failure(err)
}

func (d *Door) join(id entry.FarmID, run entry.Run, code string) (exchange.Admission, error) {
	r, release, err := d.farms.Farm(id)
	if errors.Is(err, exchange.ErrFarm) {
		if err = d.farms.Found(id, run, code); err == nil {
			r, release, err = d.farms.Farm(id)
		}
	}
	if err != nil {
		return exchange.Admission{}, err
	}
	defer release()
	if err := r.Join(run, d.now().UnixMilli()); err != nil {
		return exchange.Admission{}, err
	}
	d.log.Info("joined", "farm", id, "device", run.Device)
	if d.Joined != nil {
		d.Joined(r, run.Device)
	}
	return exchange.Admission{Generation: d.gen, Stored: r.Have()}, nil
}

// admit checks the token and does what the call asks for.
func (d *Door) admit(text string, id entry.FarmID, g *gate, do func(*Replica, token.Caller) error) error {
	return d.failure(func() error {
		who, err := d.caller(text)
		if err != nil {
			return err
		}
		if who.Farm != id {
			return exchange.ErrForbidden
		}
		r, release, err := d.farms.Farm(id)
		if err != nil {
			return err
		}
		defer release()
		if err := r.Belongs(who.Device); err != nil {
			return err
		}
		leave, err := g.enter(who, d.now())
		if err != nil {
			return err
		}
		defer leave()
		return do(r, who)
	}())
}

// caller is who a token speaks for, by whichever of the server's names.
func (d *Door) caller(text string) (who token.Caller, err error) {
	err = exchange.ErrAudience // where it has none yet
	for _, a := range d.audiences() {
		if who, err = token.Verify(text, a, d.now(), d.key); !errors.Is(err, exchange.ErrAudience) {
			break
		}
	}
	return who, err
}

// key is the key that a caller's token must be signed with. A device of some
// other farm here is a stranger like any other: looking for it would cost more
// than its token does.
func (d *Door) key(c token.Caller) (entry.Key, error) {
	r, release, err := d.farms.Farm(c.Farm)
	if err != nil {
		return entry.Key{}, err
	}
	defer release()
	if dev, ok := r.Device(c.Device); ok {
		return dev.Key, nil
	}
	return entry.Key{}, exchange.ErrStranger
}

// failure makes an error fit to be sent. What package exchange does not name
// is for this side's log only.
func (d *Door) failure(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	f := &exchange.Failure{Err: err, Text: err.Error(), Wall: d.now().UnixMilli(), Generation: d.gen}
	code, _, known := exchange.Coded(err)
	if !known {
		d.log.Error("call failed", "err", err)
		f.Err, f.Text = exchange.ErrInternal, exchange.ErrInternal.Error()
	}
	if code == exchange.CodeUnavailable {
		f.Retry = exchange.RetryMillis + rand.Int64N(exchange.RetryMillis)
	}
	return f
}
