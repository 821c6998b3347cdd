package server

import (
	"fmt"

	"turnrow/server/auth"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
	"turnrow/sync/wire"
)

// Found implements replica.Farms. The code is spent for good on this farm
// before the farm has its place; the same farm may come with it again, since
// its first answer may have been lost.
func (f *farms) Found(id entry.FarmID, run entry.Run, text string) error {
	if text == "" {
		return exchange.ErrFarm
	}
	code, err := f.id.CheckCode(text, f.now())
	if err != nil {
		return err
	}
	if err := foundedBy(id, run); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if !f.known[id] && len(f.known) >= exchange.MaxFarms {
		return fmt.Errorf("%w: %d farms are kept here, %d at most", exchange.ErrBound, len(f.known), exchange.MaxFarms)
	}
	if err := f.spend(code, id); err != nil {
		return err
	}
	f.known[id] = true
	return nil
}

func (f *farms) spend(code auth.Code, id entry.FarmID) error {
	key := "founding/" + code.String()
	spent, err := f.store.Setting(key)
	if err != nil {
		return err
	}
	if len(spent) > 0 && string(spent) != string(id[:]) {
		return fmt.Errorf("%w: another farm has used it", exchange.ErrFounding)
	}
	return f.store.SetSettings(map[string][]byte{key: id[:]})
}

// foundedBy checks that a run is of the device that founded the farm, and
// signed by it.
func foundedBy(id entry.FarmID, run entry.Run) error {
	head, body, err := replica.First(id, run)
	if err != nil {
		return err
	}
	if b, ok := body.(*entry.FarmFounded); !ok || entry.FoundedBy(head.Log.Device(), head.Key, b.Paper) != id {
		return fmt.Errorf("%w: it takes the log of the farm's founding device", exchange.ErrFounding)
	}
	_, _, _, err = wire.Open(head, run, nil)
	return err
}
