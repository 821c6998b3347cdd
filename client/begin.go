package client

import (
	"context"
	"errors"
	"os"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// begun is a founding, joining or recovery that is under way. Nobody else sees
// its farm until it is done; until then it can be undone.
type begun struct {
	home *Home
	me   *identity // that it is for
	farm *Farm     // nil before settle

	// Where the home holds the farm's record already, the new identity goes on with
	// it, and the old one has its place back if this is undone.
	before *Farm
	aside  string       // where its key is meanwhile
	back   func() error // puts the settings back
}

// begin makes an identity for a home that is of no farm.
func (h *Home) begin() (*begun, error) {
	if err := h.reopen(); err != nil {
		return nil, err
	}
	switch _, err := h.Farm(); {
	case err == nil:
		return nil, ErrHasFarm
	case !errors.Is(err, ErrNoFarm):
		return nil, err
	}
	me, err := loadIdentity(h.keyFile()) // of an earlier beginning that was cut short
	if err == nil && me == nil {
		me, err = makeIdentity(h.keyFile())
	}
	return &begun{home: h, me: me}, err
}

// beginAgain is begin, and besides it lets a home that holds the farm's record
// already, but no device that may write to it, take a new identity; or any that
// holds it, where instead says so. The record stays, whatever becomes of the
// joining.
func (h *Home) beginAgain(id entry.FarmID, instead bool) (*begun, error) {
	f, err := h.Farm()
	if err != nil {
		return h.begin()
	}
	if f.ID() != id || !instead && f.me != nil && f.original() == nil && !f.lost() && wrote(f.replica, f.me) {
		return nil, ErrHasFarm
	}
	b := &begun{home: h, before: f, aside: h.keyFile()}
	if f.me != nil {
		b.aside = h.keyFile() + "." + f.me.device.String()
		if err := os.Rename(h.keyFile(), b.aside); err != nil {
			return nil, err
		}
	}
	if b.back, err = keeping(f.store, settingServer, settingPin, settingCode, settingPorter, settingOriginal); err == nil {
		b.me, err = makeIdentity(h.keyFile())
	}
	if err != nil && f.me != nil {
		err = errors.Join(err, os.Rename(b.aside, h.keyFile()))
	}
	return b, err
}

// keeping remembers settings, and gives the way to have them again as they were.
func keeping(store *logstore.Store, keys ...string) (back func() error, err error) {
	kv := map[string][]byte{}
	for _, key := range keys {
		if kv[key], err = store.Setting(key); err != nil {
			return nil, err
		}
	}
	return func() error { return store.SetSettings(kv) }, nil
}

// wrote says whether a device has a log: where it has none, its joining was cut
// short.
func wrote(r *replica.Replica, me *identity) bool {
	_, ok := r.Log().Head(me.device)
	return ok
}

// settle has the home keep the farm, with a server, and opens it.
func (b *begun) settle(id entry.FarmID, at Address, porter []byte) (err error) {
	store := b.home.disk()
	kv := at.settings()
	kv[settingPorter] = porter
	kv[settingFarm] = id[:]
	kv[settingOriginal] = originally(store, b.me)
	if err := store.SetSettings(kv); err != nil {
		return err
	}
	if b.before != nil {
		b.farm = b.before.writtenBy(b.me)
		return nil
	}
	b.farm, err = b.home.openFarm(store, id, b.me)
	return err
}

// enrol settles a farm with the log that this device begins.
func (b *begun) enrol(farm entry.FarmID, at Address, run entry.Run) error {
	if err := b.settle(farm, at, nil); err != nil {
		return err
	}
	taken, err := b.farm.record.Take([]entry.Run{run}) // its own, whatever the record here knows yet
	if err == nil && len(taken.Refused) > 0 {
		err = &taken.Refused[0]
	}
	return err
}

// done makes the farm the home's own.
func (b *begun) done() *Farm {
	b.home.opened(b.farm)
	if b.before != nil {
		b.before.close()
	}
	return b.farm
}

// undo takes all back, for why: the home is as it was before.
func (b *begun) undo(why error) error {
	if b.before != nil {
		return b.giveBack(why)
	}
	if b.farm != nil {
		b.farm.close()
	}
	h := b.home
	err := errors.Join(h.shut(), logstore.Remove(h.storeFolder(), h.fs))
	if err == nil { // a record without its key could not be written to again
		err = os.Remove(h.keyFile())
	}
	return errors.Join(why, err, h.reopen())
}

// giveBack gives the identity before this one its place back.
func (b *begun) giveBack(why error) error {
	if b.farm != nil {
		b.farm.close()
	}
	b.before.writer.Store(b.before)
	err := os.Remove(b.home.keyFile())
	if b.before.me != nil {
		err = os.Rename(b.aside, b.home.keyFile())
	}
	return errors.Join(why, err, b.back())
}

// firstExchange meets the server of a farm that was just founded or joined.
// Where it is away, or does not know enough yet, the device goes on without;
// err is a server that says no, for one of the reasons given or one that is
// always final.
func (b *begun) firstExchange(ctx context.Context, no ...error) (res SyncResult, away, err error) {
	res, err = b.farm.Sync(ctx)
	if errors.Is(err, ErrNoServer) {
		return res, nil, nil
	}
	no = append(no, ErrPin, ErrUnvouched, exchange.ErrStopped, exchange.ErrMalformed)
	for _, n := range no {
		if errors.Is(err, n) {
			return res, nil, err
		}
	}
	return res, err, nil
}
