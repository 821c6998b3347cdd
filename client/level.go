package client

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"turnrow/client/syncer"
	"turnrow/client/transport"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/replica"
	"turnrow/sync/wire"
)

// peer is another replica that this one can call.
type peer struct {
	*transport.Conn
	name    string      // under which it is remembered
	code    string      // founding code, where it is to take the farm in
	trusted func() bool // nil: by its pin
}

// level brings this device and a peer level. A peer that does not know the
// device, or the farm, is introduced to it first.
func (c *Client) level(ctx context.Context, p *peer, r *replica.Replica, me *identity) (SyncResult, error) {
	out, in := p.Traffic()
	var res SyncResult
	err := c.catchUp(ctx, p, r, me, &res)
	if errors.Is(err, exchange.ErrStranger) || errors.Is(err, exchange.ErrFarm) {
		c.anew(p, err)
		if err = c.introduce(ctx, p, r, me, err, &res); err == nil {
			err = c.catchUp(ctx, p, r, me, &res)
		}
	}
	if errors.Is(err, syncer.ErrCopied) {
		err = errors.Join(err, c.store.SetSettings(map[string][]byte{settingOriginal: nil}))
	}
	nowOut, nowIn := p.Traffic()
	res.BytesOut, res.BytesIn = nowOut-out, nowIn-in
	return res, err
}

func (c *Client) catchUp(ctx context.Context, p *peer, r *replica.Replica, me *identity, res *SyncResult) error {
	m, err := c.memory(p.name)
	if err != nil {
		return err
	}
	s := syncer.Session{
		Replica: r, Peer: p, Own: me.device, Memory: m, Trusted: p.trusted,
		Keep: func(m syncer.Memory) error { return c.remember(p.name, m) },
	}
	did, err := s.CatchUp(ctx)
	res.Sent += did.Sent
	res.Received += did.Received
	res.RoundTrips += did.RoundTrips
	res.Anew = res.Anew || did.Anew
	res.Refused = append(res.Refused, did.Refused...)
	return err
}

// anew forgets a server that says by its generation that it is another than
// the one remembered: what that one held counts as pending again.
func (c *Client) anew(p *peer, err error) {
	var f *exchange.Failure
	m, merr := c.memory(p.name)
	if merr == nil && errors.As(err, &f) && !m.Generation.IsZero() && f.Generation != m.Generation {
		c.log.Warn("the other replica has started anew", "peer", p.name)
		if err := c.forget(p.name); err != nil {
			c.log.Error("cannot forget a peer", "err", err)
		}
	}
}

// introduce makes this device known to a peer that turned it away for why. Its
// own log will do where the peer holds the invite; otherwise the logs of all
// devices that joined before it go first, the founder's at their head.
func (c *Client) introduce(ctx context.Context, p *peer, r *replica.Replica, me *identity, why error, res *SyncResult) error {
	i := introduction{ctx: ctx, peer: p, replica: r, res: res}
	if errors.Is(why, exchange.ErrStranger) {
		err := i.log(me.device, 1)
		if !errors.Is(err, exchange.ErrInvite) {
			return i.done(c, err)
		}
	} else if p.code == "" {
		return why
	}
	err := i.all(me.device)
	if err == nil && p.code != "" {
		err = c.store.SetSettings(map[string][]byte{settingCode: nil})
	}
	return i.done(c, err)
}

// introduction is the calls that introduce a device.
type introduction struct {
	ctx     context.Context
	peer    *peer
	replica *replica.Replica
	res     *SyncResult
	last    exchange.Admission
}

// done remembers how far the peer is now.
func (i *introduction) done(c *Client, err error) error {
	if err != nil {
		return err
	}
	return c.remember(i.peer.name, syncer.Memory{Generation: i.last.Generation, Stored: i.last.Stored})
}

// all brings the logs of the devices that joined before one, and its own. All
// that an invite refers to was written by devices that had joined before it
// was used, so in the order of their joining each can be checked at once.
func (i *introduction) all(until entry.DeviceID) error {
	devices, err := i.joined()
	if err != nil {
		return err
	}
	for _, d := range devices {
		if err := i.log(d, i.last.Stored.Seq(d)+1); err != nil {
			return err
		}
		if d == until {
			break
		}
	}
	return nil
}

// joined is the devices in the order in which they joined.
func (i *introduction) joined() ([]entry.DeviceID, error) {
	clocks := map[entry.DeviceID]hlc.Time{}
	var devices []entry.DeviceID
	for _, m := range i.replica.Frontier() {
		runs, _, err := i.replica.Log().Runs(m.Device, 1, 1)
		if err != nil {
			return nil, err
		}
		head, err := wire.Start(i.replica.Farm(), m.Device, runs[0].Entries[0])
		if err != nil {
			return nil, err
		}
		first, err := wire.Decode(&head, runs[0].Entries[0])
		if err != nil {
			return nil, err
		}
		clocks[m.Device] = first.Clock
		devices = append(devices, m.Device)
	}
	slices.SortFunc(devices, func(a, b entry.DeviceID) int {
		return cmp.Or(cmp.Compare(clocks[a], clocks[b]), a.Compare(b))
	})
	return devices, nil
}

// log brings a device's log from a number on.
func (i *introduction) log(d entry.DeviceID, from uint64) error {
	for more := true; more; {
		runs, left, err := i.replica.Log().Runs(d, from, exchange.MaxBatch)
		if err != nil {
			return err
		}
		for _, run := range runs {
			i.res.RoundTrips++
			if i.last, err = i.peer.Join(i.ctx, i.replica.Farm(), run, i.peer.code); err != nil {
				return err
			}
			i.res.Sent += len(run.Entries)
			from = run.Last() + 1
		}
		more = left && len(runs) > 0
	}
	return nil
}
