package client

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
)

// FoundOptions is what a farm begins with.
type FoundOptions struct {
	Farm       string // its name
	Owner      string // name of the first owner: this device's person
	At         string // founding address of a server; empty where the farm has none yet
	TimeZone   string // IANA name
	Metric     bool   // units to show
	MoneySign  string
	DeviceName string
	NoPorter   bool // the server lets nobody in, as AtOptions says
}

// Founded is a farm that was founded.
type Founded struct {
	Farm   entry.FarmID
	Device entry.DeviceID
	Paper  string // the code on paper: to print, once; it is kept nowhere
	Porter bool   // the server lets in whoever has an invite
	Away   error  // where the server could not be reached: the next exchange tries again
}

// Found founds a farm on this device. Its server need not be reached at once,
// but one that says no leaves nothing behind. Errors that a caller can act on
// are ErrHasFarm, ErrAddress, ErrPin and exchange.ErrFounding.
func (c *Client) Found(ctx context.Context, o FoundOptions) (Founded, error) {
	at, err := foundingAddress(o.At)
	if err != nil {
		return Founded{}, err
	}
	c.beginning.Lock()
	defer c.beginning.Unlock()
	me, err := c.begin()
	if err != nil {
		return Founded{}, err
	}
	secret, paper, err := newPaper()
	if err != nil {
		return Founded{}, c.undo(err)
	}
	id := entry.FoundedBy(me.device, me.public(), paper)
	if err := c.settle(id, at, me, AtOptions{NoPorter: o.NoPorter}.setting()); err != nil {
		return Founded{}, c.undo(err)
	}
	_, err = c.Record(ctx, entry.ID{}, &entry.FarmFounded{
		Name: o.Farm, TimeZone: o.TimeZone, Metric: o.Metric, MoneySign: o.MoneySign,
		Owner: o.Owner, Key: me.public(), DeviceName: o.DeviceName, Paper: paper,
	})
	if err != nil {
		return Founded{}, c.undo(err)
	}
	at.Code = "" // it founds once
	f := Founded{Farm: id, Device: me.device, Paper: Paper{Server: at, Farm: id, FarmName: o.Farm, secret: secret}.String()}
	res, away, err := c.firstExchange(ctx, exchange.ErrFarm, exchange.ErrFounding)
	if err != nil {
		return Founded{}, c.undo(err)
	}
	f.Porter, f.Away = res.Porter, away
	return f, nil
}

func foundingAddress(text string) (Address, error) {
	if text == "" {
		return Address{}, nil
	}
	return ParseAddress(text)
}

// begin makes this device's identity, on a home that has no farm.
func (c *Client) begin() (*identity, error) {
	if _, err := c.replica(); err == nil {
		return nil, ErrHasFarm
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.me != nil {
		return c.me, nil // an earlier beginning was cut short
	}
	me, err := makeIdentity(filepath.Join(c.home, keyName))
	if err == nil {
		c.me = me
	}
	return me, err
}

// settle makes a farm this home's own.
func (c *Client) settle(id entry.FarmID, at Address, me *identity, porter []byte) error {
	kv := at.settings()
	kv[settingPorter] = porter
	kv[settingFarm] = id[:]
	kv[settingOriginal] = c.originally(me)
	if err := c.disk().SetSettings(kv); err != nil {
		return err
	}
	return c.openFarm(id)
}

// firstExchange meets the server of a farm that was just founded or joined.
// Where it is away, or does not know enough yet, the device goes on without;
// err is a server that says no, for one of the reasons given or one that is
// always final.
func (c *Client) firstExchange(ctx context.Context, no ...error) (res SyncResult, away, err error) {
	res, err = c.Sync(ctx)
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

// undo takes back a founding or joining that did not come about, for why: the
// home is as it was before.
func (c *Client) undo(why error) error {
	c.hangUp()
	err := errors.Join(c.disk().Close(), logstore.Remove(filepath.Join(c.home, storeDir), c.fs))
	if err == nil { // a record without its key could not be written to again
		err = os.Remove(filepath.Join(c.home, keyName))
	}
	c.mu.Lock()
	c.me, c.farm, c.record, c.peers, c.brief = nil, nil, nil, nil, nil
	c.mu.Unlock()
	return errors.Join(why, err, c.open())
}
