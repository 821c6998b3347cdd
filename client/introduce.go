package client

import (
	"context"
	"errors"
	"slices"

	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/replica"
)

// introduce makes this device known to a peer that turned it away for why, or
// that has it wait, although it may have been let in. Its own log will do where
// the peer holds the invite; otherwise the logs of all devices that were let in
// go first, the founder's at their head.
func (f *Farm) introduce(ctx context.Context, p *peer, me *identity, why error, res *SyncResult) error {
	i := introduction{ctx: ctx, peer: p, replica: f.replica, res: res}
	if errors.Is(why, exchange.ErrFarm) {
		if p.code == "" {
			return why
		}
	} else if err := i.log(me.device, 1); !errors.Is(err, exchange.ErrInvite) && (err != nil || !i.last.Waits || f.Waits()) {
		return i.done(f, err)
	}
	err := i.all(me.device)
	if err == nil && p.code != "" {
		err = f.store.SetSettings(map[string][]byte{settingCode: nil})
	}
	return i.done(f, err)
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
func (i *introduction) done(on *Farm, err error) error {
	if err != nil {
		return err
	}
	i.res.Waits, i.res.offers = i.last.Waits, i.last.Porter
	return on.remember(i.peer.name, syncer.Memory{Generation: i.last.Generation, Stored: i.last.Stored})
}

// all brings the logs of the devices that were let in, each after whoever let it
// in, and this device's own at the end. Of the others one that is not taken may
// come some other way.
func (i *introduction) all(own entry.DeviceID) error {
	var devices []entry.DeviceID
	i.replica.Read(func(s *farm.State) { devices = s.LetIn() })
	for _, d := range devices {
		if d == own && d != devices[0] {
			continue
		}
		if err := i.log(d, i.last.Stored.Seq(d.Log())+1); err != nil && !passable(err) {
			return err
		}
	}
	return i.log(own, i.last.Stored.Seq(own.Log())+1)
}

// passable says whether an error is about one log alone.
func passable(err error) bool {
	return slices.ContainsFunc([]error{
		exchange.ErrStopped, exchange.ErrKeptOut, exchange.ErrWaiting, exchange.ErrStranger, exchange.ErrInvite,
		exchange.ErrInviteFull, exchange.ErrInviteOver, exchange.ErrProof, exchange.ErrFork, exchange.ErrBound,
	}, func(e error) bool { return errors.Is(err, e) })
}

// log brings a device's log from a number on.
func (i *introduction) log(d entry.DeviceID, from uint64) error {
	for more := true; more; {
		runs, left, err := i.replica.Log().Runs(d.Log(), from, exchange.MaxBatch)
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
