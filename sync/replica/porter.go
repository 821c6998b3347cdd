package replica

import (
	"crypto/ed25519"
	"log/slog"
	"sync"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
)

// Keys keeps the keys of a server's own devices, one for each farm.
type Keys interface {
	// Key is the farm's; the zero device where there is none yet.
	Key(farm entry.FarmID) (entry.DeviceID, ed25519.PrivateKey, error)
	// NewKey makes a device and its key, in the place of any before it.
	NewKey(farm entry.FarmID) (entry.DeviceID, ed25519.PrivateKey, error)
}

// porter is a device of the record that a server has, to let in who asks to
// join on an invite, in time by the server's clock, once an owner has said that
// it may. It can do nothing else.
type porter struct {
	keys Keys
	name string // for the crew to see
	log  *slog.Logger

	mu     sync.Mutex // held while it writes
	device entry.DeviceID
	key    ed25519.PrivateKey
}

// BePorter has the replica offer to be the farm's porter, and let in whom it may
// from then on, before any answer. It is called once, after Clock and before the
// first call.
func (r *Replica) BePorter(keys Keys, name string, log *slog.Logger) {
	r.porter = &porter{keys: keys, name: name, log: log}
	r.admit()
}

// Porter is the first entry of the porter's device, for an owner to say whether
// it is the farm's porter; zero where that was said, or there is none.
func (r *Replica) Porter() entry.Mark {
	p := r.porter
	if p == nil {
		return entry.Mark{}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if r.Belongs(p.device) != exchange.ErrWaiting {
		return entry.Mark{}
	}
	var first entry.Mark
	r.Read(func(s *farm.State) { first, _ = s.Held(p.device, 1) })
	return first
}

// admit writes what the porter may write, and says whether it wrote anything.
// Where it can't, the farm does without it.
func (r *Replica) admit() (wrote bool) {
	p := r.porter
	if p == nil || len(r.log.Frontier()) == 0 {
		return false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	wrote, err := r.admits(p)
	if err != nil {
		p.log.Error("cannot let in who asks to join", "farm", r.id, "err", err)
	}
	return wrote
}

func (r *Replica) admits(p *porter) (wrote bool, err error) {
	if wrote, err = r.enrol(p); err != nil {
		return wrote, err
	}
	wall := r.wall()
	var drafts []entry.Draft
	r.Read(func(s *farm.State) {
		for _, b := range s.ToAdmit(p.device, wall) {
			drafts = append(drafts, entry.Draft{Body: b})
		}
	})
	if len(drafts) == 0 {
		return wrote, nil
	}
	if _, err = r.Record(p.key, p.device, wall, drafts...); err != nil {
		return wrote, err
	}
	p.log.Info("let in", "farm", r.id, "devices", len(drafts))
	return true, nil
}

// enrol makes sure that the porter's device has a log here. Where its key is
// here without one, or another store has gone on with the log, the device is
// another store's, and gets another in its place: no number is used twice.
func (r *Replica) enrol(p *porter) (wrote bool, err error) {
	if p.device.IsZero() {
		if p.device, p.key, err = p.keys.Key(r.id); err != nil {
			return false, err
		}
	}
	if d, ok := r.Device(p.device); ok && !d.Forked {
		return false, nil
	}
	if p.device, p.key, err = p.keys.NewKey(r.id); err != nil {
		return false, err
	}
	first := entry.Draft{Body: &entry.DeviceEnrolled{Key: entry.Key(p.key.Public().(ed25519.PublicKey)), Name: p.name}}
	_, err = r.log.Record(p.key, p.device, r.wall(), nil, first)
	return err == nil, err
}
