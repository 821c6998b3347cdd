package client

import (
	"context"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
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
	Farm   *Farm
	Paper  string // the code on paper: to print, once; it is kept nowhere
	Porter bool   // the server lets in whoever has an invite
	Away   error  // where the server could not be reached: the next exchange tries again
}

// Found founds a farm on this device. Its server need not be reached at once,
// but one that says no leaves nothing behind. Errors that a caller can act on
// are ErrHasFarm, ErrAddress, ErrPin and exchange.ErrFounding.
func (h *Home) Found(ctx context.Context, o FoundOptions) (Founded, error) {
	at, err := foundingAddress(o.At)
	if err != nil {
		return Founded{}, err
	}
	h.beginning.Lock()
	defer h.beginning.Unlock()
	b, err := h.begin()
	if err != nil {
		return Founded{}, err
	}
	founded, err := b.found(ctx, o, at)
	if err != nil {
		return Founded{}, b.undo(err)
	}
	founded.Farm = b.done()
	return founded, nil
}

func (b *begun) found(ctx context.Context, o FoundOptions, at Address) (Founded, error) {
	secret, paper, err := newPaper()
	if err != nil {
		return Founded{}, err
	}
	id := entry.FoundedBy(b.me.device, b.me.public(), paper)
	if err := b.settle(id, at, AtOptions{NoPorter: o.NoPorter}.setting()); err != nil {
		return Founded{}, err
	}
	_, err = b.farm.Record(ctx, entry.ID{}, &entry.FarmFounded{
		Name: o.Farm, TimeZone: o.TimeZone, Metric: o.Metric, MoneySign: o.MoneySign,
		Owner: o.Owner, Key: b.me.public(), DeviceName: o.DeviceName, Paper: paper,
	})
	if err != nil {
		return Founded{}, err
	}
	at.Code = "" // it founds once
	res, away, err := b.firstExchange(ctx, exchange.ErrFarm, exchange.ErrFounding)
	return Founded{
		Paper:  Paper{Server: at, Farm: id, FarmName: o.Farm, secret: secret}.String(),
		Porter: res.Porter, Away: away,
	}, err
}

func foundingAddress(text string) (Address, error) {
	if text == "" {
		return Address{}, nil
	}
	return ParseAddress(text)
}
