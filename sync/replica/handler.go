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

// Farms is where a Handler finds the farms that it answers for.
type Farms interface {
	// Farm gives a farm's replica until release is called, or exchange.ErrFarm.
	Farm(id entry.FarmID) (r *Replica, release func(), err error)
	// Found makes a place for a farm that is not kept here yet, where the code
	// allows it: exchange.ErrFarm where there is no code, exchange.ErrFounding
	// where it does not count.
	Found(id entry.FarmID, run entry.Run, code string) error
}

// Handler answers the calls of devices: who may, and how many at once. What goes
// wrong comes back as an *exchange.Failure, fit to be sent.
type Handler struct {
	farms     Farms
	gen       exchange.Generation
	audiences func() []string // name this server in tokens
	now       func() time.Time
	log       *slog.Logger

	calls, watches *limiter[token.Caller]
	bodies         *limiter[token.Caller] // of requests that are on their way in
	joins          *limiter[newcomer]

	// Heard is told what a device says that it holds durably. Nil is nobody.
	// It is set before the first call.
	Heard func(d entry.DeviceID, have chain.Frontier)
}

// NewHandler answers for farms. The audiences are what tokens for this
// server may name: one for each certificate that it shows.
func NewHandler(farms Farms, gen exchange.Generation, audiences func() []string, now func() time.Time, log *slog.Logger) *Handler {
	return &Handler{
		farms: farms, gen: gen, audiences: audiences, now: now, log: log,
		calls:   newLimiter[token.Caller](exchange.CallsInFlight, exchange.CallsAtOnce),
		watches: newLimiter[token.Caller](exchange.WatchesPerDevice, exchange.WatchesAtOnce),
		joins:   newLimiter[newcomer](exchange.CallsInFlight, exchange.JoinsAtOnce),
		bodies:  newLimiter[token.Caller](2*(exchange.CallsInFlight+exchange.WatchesPerDevice), exchange.ConnectionsAtOnce), // one that ended is noted a moment later
	}
}

// Caller is who a call speaks for, by its token: a device of the farm, or one
// that waits to be let in. It is asked before the call's message is read, and
// leave is called once the call is over: a device may have only so many open.
func (h *Handler) Caller(text string) (who token.Caller, leave func(), err error) {
	who, err = h.caller(text)
	if err == nil {
		err = h.known(who)
	}
	if err == nil {
		leave, err = h.bodies.opens(who)
	}
	return who, leave, h.failure(err)
}

// known checks that a device may exchange, or waits to be let in.
func (h *Handler) known(who token.Caller) error {
	r, release, err := h.farms.Farm(who.Farm)
	if err != nil {
		return err
	}
	defer release()
	if err := r.Belongs(who.Device); err != exchange.ErrWaiting {
		return err
	}
	return nil
}

// Exchange answers one exchange of a caller.
func (h *Handler) Exchange(who token.Caller, req exchange.Request) (exchange.Response, error) {
	var resp exchange.Response
	err := h.admit(who, req.Farm, h.calls, func(r *Replica) (err error) {
		if len(req.Runs) > exchange.MaxRuns {
			return fmt.Errorf("%w: %d runs in a call, %d at most", exchange.ErrBound, len(req.Runs), exchange.MaxRuns)
		}
		switch err := r.Belongs(who.Device); err {
		case nil:
		case exchange.ErrWaiting:
			resp, err = r.Await(who.Device, req)
			return err
		default:
			return err
		}
		if h.Heard != nil {
			h.heard(r, who.Device, &req)
		}
		resp, err = r.Exchange(req)
		return err
	})
	return resp, err
}

// heard tells who wants to know what a device has of the logs known here.
func (h *Handler) heard(r *Replica, dev entry.DeviceID, req *exchange.Request) {
	if have, _, err := req.Holds(r.Have()); err == nil {
		h.Heard(dev, have)
	}
}

// Watch tells a caller of new entries, until the context ends, send fails, or
// the device may not watch any longer.
func (h *Handler) Watch(ctx context.Context, who token.Caller, farm entry.FarmID, have chain.Frontier, send func(exchange.Generation, chain.Frontier) error) error {
	return h.admit(who, farm, h.watches, func(r *Replica) error {
		return r.Watch(ctx, who.Device, have, func(f chain.Frontier) error { return send(h.gen, f) })
	})
}

// Join takes in a device's log on its invite, or a farm on a founding code.
// There is no token yet: the run itself proves what it claims.
func (h *Handler) Join(id entry.FarmID, run entry.Run, code string) (exchange.Admission, error) {
	a, err := h.join(id, run, code)
	return a, h.failure(err)
}

func (h *Handler) join(id entry.FarmID, run entry.Run, code string) (exchange.Admission, error) {
	if n := run.Size(); n > exchange.MaxJoin {
		return exchange.Admission{}, fmt.Errorf("%w: %d bytes to join with, %d at most", exchange.ErrBound, n, exchange.MaxJoin)
	}
	r, release, err := h.farms.Farm(id)
	if errors.Is(err, exchange.ErrFarm) {
		if err = h.farms.Found(id, run, code); err == nil {
			r, release, err = h.farms.Farm(id)
		}
	}
	if err != nil {
		return exchange.Admission{}, err
	}
	defer release()
	leave, err := h.asks(r, run)
	if err != nil {
		return exchange.Admission{}, err
	}
	defer leave()
	if err := r.Join(run); err != nil {
		return exchange.Admission{}, err
	}
	return h.admission(r, run.Device), nil
}

// newcomer is who asks to join a farm, by the key of the invite, or of the device
// where that belongs once its log is here.
type newcomer struct {
	farm entry.FarmID
	key  entry.Key
}

// asks finds room for a device that asks to join: by its invite, once that one's
// signature was seen, so that nobody who only knows the farm's ID can use up the
// room of who has an invite.
func (h *Handler) asks(r *Replica, run entry.Run) (leave func(), err error) {
	if r.Belongs(run.Device) != exchange.ErrStranger {
		return func() {}, nil
	}
	by, err := r.asks(run)
	if err != nil {
		return nil, err
	}
	return h.joins.enter(newcomer{r.id, by}, h.now())
}

// admission is what a device is told whose log was taken in.
func (h *Handler) admission(r *Replica, of entry.DeviceID) exchange.Admission {
	a := exchange.Admission{Generation: h.gen, Porter: r.Porter(), Waits: r.Belongs(of) != nil}
	if a.Waits {
		a.Stored = r.ownOf(of)
		h.log.Info("waits to be let in", "farm", r.id, "device", of)
	} else {
		a.Stored = r.Have()
		h.log.Info("joined", "farm", r.id, "device", of)
	}
	return a
}

// admit finds room for a call, and does what it asks for.
func (h *Handler) admit(who token.Caller, id entry.FarmID, l *limiter[token.Caller], do func(*Replica) error) error {
	return h.failure(func() error {
		if who.Farm != id {
			return exchange.ErrForbidden
		}
		r, release, err := h.farms.Farm(id)
		if err != nil {
			return err
		}
		defer release()
		leave, err := l.enter(who, h.now())
		if err != nil {
			return err
		}
		defer leave()
		return do(r)
	}())
}

// caller is who a token speaks for, by whichever of the server's names.
func (h *Handler) caller(text string) (who token.Caller, err error) {
	err = exchange.ErrAudience // where it has none yet
	for _, a := range h.audiences() {
		if who, err = token.Verify(text, a, h.now(), h.key); !errors.Is(err, exchange.ErrAudience) {
			break
		}
	}
	return who, err
}

// key is the key that a caller's token must be signed with. A device of some
// other farm here is a stranger like any other: looking for it would cost more
// than its token does.
func (h *Handler) key(c token.Caller) (entry.Key, error) {
	r, release, err := h.farms.Farm(c.Farm)
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
func (h *Handler) failure(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	f := &exchange.Failure{Err: err, Text: err.Error(), Wall: h.now().UnixMilli(), Generation: h.gen}
	code, _, known := exchange.Coded(err)
	if !known {
		h.log.Error("call failed", "err", err)
		f.Err, f.Text = exchange.ErrInternal, exchange.ErrInternal.Error()
	}
	if code == exchange.CodeUnavailable {
		f.Retry = exchange.RetryMillis + rand.Int64N(exchange.RetryMillis)
	}
	return f
}
