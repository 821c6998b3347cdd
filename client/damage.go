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

// mended makes a store that was damaged, and has been built anew, this device's
// own again.
func (c *Client) mended(me *identity) error {
	d, err := c.disk().Damage()
	if d == nil || d.Whole || me == nil || err != nil {
		return err
	}
	kv := map[string][]byte{}
	farm, err := c.disk().Setting(settingFarm)
	if err != nil {
		return err
	}
	if farm == nil {
		id, ok := c.disk().RecordedBy(me.device)
		if !ok {
			return c.setAside(me)
		}
		kv[settingFarm] = id[:]
	}
	v, err := c.disk().Setting(settingOriginal)
	if err != nil {
		return err
	}
	if farm == nil || bytes.Equal(v, append(d.Before[:], me.device[:]...)) {
		kv[settingOriginal] = c.originally(me)
	}
	if len(kv) == 0 {
		return nil // a copy, before as now
	}
	return c.disk().SetSettings(kv)
}

// setAside gives up an identity of which the disk no longer says what it wrote,
// nor where: it must not begin again under its name.
func (c *Client) setAside(me *identity) error {
	path := filepath.Join(c.home, keyName)
	if err := os.Rename(path, path+"."+me.device.String()); err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.me = nil
	return nil
}

// behind says whether this device has to wait for entries of its own.
func (c *Client) behind(me *identity) error {
	log, err := c.kept()
	if err != nil {
		return nil
	}
	var b *logstore.BehindError
	if errors.As(log.Behind(me.device), &b) {
		return fmt.Errorf("%w: it holds them up to number %d, %s", ErrBehind, b.Held, upTo(b))
	}
	return nil
}

// lost is behind for whatever identity there is.
func (c *Client) lost() bool {
	c.mu.Lock()
	me := c.me
	c.mu.Unlock()
	return me != nil && c.behind(me) != nil
}

func upTo(b *logstore.BehindError) string {
	if b.Given == 0 {
		return "and it is not known how far others do"
	}
	return fmt.Sprintf("others up to %d", b.Given)
}

// settled forgets a damage after an exchange with a whole replica: what it has
// is here. A device that still lacks entries of its own stays as it is, unless it
// was not known how far others held its log: now another has shown it.
func (c *Client) settled(me *identity) error {
	d, err := c.disk().Damage()
	if d == nil || err != nil || !d.Unproved && c.behind(me) != nil {
		return err
	}
	return c.disk().Settle()
}

// Damaged says in words what became of this device's record where its disk was
// found damaged, and what to do; nothing where it was not, or all is well again.
func (c *Client) Damaged() []string {
	d, err := c.disk().Damage()
	if d == nil || err != nil {
		return nil
	}
	folder := filepath.Join(c.home, storeDir, d.Folder)
	if d.Whole || len(d.Gaps) == 0 && !c.lost() {
		if err := c.disk().Settle(); err != nil { // it is said once
			c.log.Error("cannot forget a damage", "err", err)
		}
	}
	if d.Whole {
		return []string{"this device's record was damaged on disk and has been put in order; nothing is missing. The damaged files are in " + folder}
	}
	lines := []string{"this device's record was damaged on disk, and has been put in order from what could be read. The damaged files are in " + folder}
	if len(d.Gaps) > 0 {
		lines = append(lines, "missing: "+strings.Join(c.gaps(d.Gaps), "; "))
	}
	if len(d.Gaps) == 0 && !c.lost() {
		return append(lines, "no note is known to be missing; an exchange with the others makes sure")
	}
	next := "an exchange with them brings back what others have"
	if c.lost() {
		next += ". Until then this device writes nothing, as the numbers of its missing notes are in use; where nobody has them any more it needs a new invite"
	}
	return append(lines, next)
}

func (c *Client) gaps(gaps []logstore.Gap) (words []string) {
	for _, g := range gaps {
		of := "this device"
		if g.Device != c.Device() {
			of = "device " + c.deviceName(g.Device)
		}
		words = append(words, fmt.Sprintf("notes %d to %d of %s", g.Held+1, g.Had, of))
	}
	return words
}

func (c *Client) deviceName(d entry.DeviceID) string {
	if r, err := c.replica(); err == nil {
		if v, ok := r.Device(d); ok && v.Name != "" {
			return v.Name
		}
	}
	return d.String()
}
