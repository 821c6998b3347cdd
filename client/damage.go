package client

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
)

// ErrBehind reports a device that lost entries of its own on its disk which
// others may have: their numbers are in use, and it writes nothing until they
// are back.
var ErrBehind = errors.New("notes of this device were lost on its disk, and others have them")

// mended makes a store that was damaged, and has been built anew, the own again
// of the identity that is there, and gives that; nil where it is there no more.
func (h *Home) mended(store *logstore.Store, me *identity) (*identity, error) {
	d, err := store.Damage()
	if d == nil || d.Whole || me == nil || err != nil {
		return me, err
	}
	kv := map[string][]byte{}
	farm, err := store.Setting(settingFarm)
	if err != nil {
		return me, err
	}
	if farm == nil {
		id, ok := store.RecordedBy(me.device)
		if !ok {
			return nil, h.setAside(me)
		}
		kv[settingFarm] = id[:]
	}
	v, err := store.Setting(settingOriginal)
	if err != nil {
		return me, err
	}
	if farm == nil || bytes.Equal(v, append(d.Before[:], me.device[:]...)) {
		kv[settingOriginal] = originally(store, me)
	}
	if len(kv) == 0 {
		return me, nil // a copy, before as now
	}
	return me, store.SetSettings(kv)
}

// setAside gives up an identity of which the disk no longer says what it wrote,
// nor where: it must not begin again under its name.
func (h *Home) setAside(me *identity) error {
	return os.Rename(h.keyFile(), h.keyFile()+"."+me.device.String())
}

// behind says whether this device has to wait for entries of its own.
func (f *Farm) behind(me *identity) error {
	var b *logstore.BehindError
	if errors.As(f.record.Behind(me.device), &b) {
		return fmt.Errorf("%w: it holds them up to number %d, %s", ErrBehind, b.Held, upTo(b))
	}
	return nil
}

// lost is behind for whatever identity there is.
func (f *Farm) lost() bool { return f.me != nil && f.behind(f.me) != nil }

func upTo(b *logstore.BehindError) string {
	if b.Given == 0 {
		return "and it is not known how far others do"
	}
	return fmt.Sprintf("others up to %d", b.Given)
}

// settled forgets a damage after an exchange with a whole replica: what it has
// is here. A device that still lacks entries of its own stays as it is, unless it
// was not known how far others held its log: now another has shown it.
func (f *Farm) settled(me *identity) error {
	d, err := f.store.Damage()
	if d == nil || err != nil || !d.Unproved && f.behind(me) != nil {
		return err
	}
	return f.store.Settle()
}

// Damaged says in words what became of this device's record where its disk was
// found damaged, and what to do; nothing where it was not, or all is well again.
func (h *Home) Damaged() []string {
	store := h.disk()
	if store == nil {
		return nil
	}
	d, err := store.Damage()
	if d == nil || err != nil {
		return nil
	}
	f, err := h.Farm()
	lost := err == nil && f.lost()
	folder := filepath.Join(h.storeFolder(), d.Folder)
	if d.Whole || len(d.Gaps) == 0 && !lost {
		if err := store.Settle(); err != nil { // it is said once
			h.log.Error("cannot forget a damage", "err", err)
		}
	}
	if d.Whole {
		return []string{"this device's record was damaged on disk and has been put in order; nothing is missing. The damaged files are in " + folder}
	}
	lines := []string{"this device's record was damaged on disk, and has been put in order from what could be read. The damaged files are in " + folder}
	if len(d.Gaps) > 0 {
		lines = append(lines, "missing: "+strings.Join(gaps(d.Gaps, f), "; "))
	}
	if len(d.Gaps) == 0 && !lost {
		return append(lines, "no note is known to be missing; an exchange with the others makes sure")
	}
	next := "an exchange with them brings back what others have"
	if lost {
		next += ". Until then this device writes nothing, as the numbers of its missing notes are in use; where nobody has them any more it needs a new invite"
	}
	return append(lines, next)
}

// gaps says what is missing of which device; the farm is nil where that is lost.
func gaps(gaps []logstore.Gap, f *Farm) (words []string) {
	for _, g := range gaps {
		of := "device " + g.Device.String()
		switch {
		case f != nil && g.Device == f.Device():
			of = "this device"
		case f != nil:
			of = "device " + f.deviceName(g.Device)
		}
		words = append(words, fmt.Sprintf("notes %d to %d of %s", g.Held+1, g.Had, of))
	}
	return words
}

func (f *Farm) deviceName(d entry.DeviceID) string {
	if v, ok := f.replica.Device(d); ok && v.Name != "" {
		return v.Name
	}
	return d.String()
}
