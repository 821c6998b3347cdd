package server

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"time"

	"turnrow/server/auth"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
)

// FarmStatus is a farm as a server holds it.
type FarmStatus struct {
	Farm    entry.FarmID
	Name    string
	Devices int
	Entries uint64
	Digest  [32]byte // of its state
}

// Farms is what the server holds, by farm.
func (s *Server) Farms() ([]FarmStatus, error) { return s.farms.status() }

// Farms is what a data folder holds whose server does not run just now.
func Farms(data string) (_ []FarmStatus, err error) {
	dir := filepath.Join(data, storeDir)
	if _, err := os.Stat(dir); err != nil {
		return nil, notRun(data, err)
	}
	store, err := logstore.Open(dir, logstore.Options{})
	if err != nil {
		return nil, err
	}
	defer func() {
		if e := store.Close(); err == nil {
			err = e
		}
	}()
	f, err := keep(store, auth.Identity{}, time.Now)
	if err != nil {
		return nil, err
	}
	return f.status()
}

func (f *farms) status() ([]FarmStatus, error) {
	var all []FarmStatus
	for _, id := range f.all() {
		r, release, err := f.Farm(id)
		if err != nil {
			return nil, err
		}
		v := r.View()
		all = append(all, FarmStatus{
			Farm: id, Name: v.Name, Devices: len(v.Devices),
			Entries: r.Log().Frontier().Entries(), Digest: r.Digest(),
		})
		release()
	}
	slices.SortFunc(all, func(a, b FarmStatus) int { return bytes.Compare(a.Farm[:], b.Farm[:]) })
	return all, nil
}
