package client

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/replica"
	"turnrow/sync/wire"
)

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
