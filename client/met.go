package client

import (
	"encoding/binary"
	"errors"
	"sync"
	"time"
)

// metEvery is how often the time of the latest exchange is kept on disk, for
// after a restart.
const metEvery = time.Minute

// met is when this device last exchanged with anybody, and what became of the
// latest try.
type met struct {
	mu   sync.Mutex
	at   time.Time
	kept time.Time // what is on disk
	err  error
}

// Met is when this device last finished an exchange with anybody: the server,
// or another device, whichever called. The zero time is never; it holds across
// restarts. The error is why the latest try failed, nil where it did not.
func (f *Farm) Met() (at time.Time, err error) {
	f.met.mu.Lock()
	defer f.met.mu.Unlock()
	return f.met.at, f.met.err
}

// readMet reads what is kept.
func (k *kept) readMet() error {
	v, err := k.store.Setting(settingMet)
	if err != nil {
		return err
	}
	k.met.mu.Lock()
	defer k.met.mu.Unlock()
	k.met.at, k.met.err = time.Time{}, nil
	if len(v) == 8 {
		k.met.at = time.UnixMilli(int64(binary.BigEndian.Uint64(v)))
	}
	k.met.kept = k.met.at
	return nil
}

// meets notes what became of a try to exchange.
func (k *kept) meets(err error) {
	if errors.Is(err, ErrNoServer) {
		return // nothing was tried
	}
	k.met.mu.Lock()
	defer k.met.mu.Unlock()
	k.met.err = err
	if err == nil {
		k.met.at = k.now()
		k.keepMet()
	}
	k.bell.ring()
}

func (k *kept) keepMet() {
	if age := k.met.at.Sub(k.met.kept); age >= 0 && age < metEvery {
		return
	}
	v := binary.BigEndian.AppendUint64(nil, uint64(k.met.at.UnixMilli()))
	if err := k.store.SetSettings(map[string][]byte{settingMet: v}); err != nil {
		k.log.Error("cannot keep when this device met others", "err", err)
		return
	}
	k.met.kept = k.met.at
}
