package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"turnrow/client"
	"turnrow/sync/logstore"
)

// errNoFarm says what to do in a home that is of no farm yet.
var errNoFarm = errors.New("this device belongs to no farm yet: turnrow found starts one, turnrow join joins one")

// patience is how long a command waits for another that holds the home: those
// that only write something down are done in well under a second.
const patience = 10 * time.Second

// withHome opens the device's store for work, and closes it. Where another
// turnrow holds the store and keeps its door open, that one does the work.
// makeHome lets a home be made that is not there.
func (g *globals) withHome(ctx context.Context, makeHome bool, work func(*client.Home) error) error {
	if g.held != nil {
		return work(g.held)
	}
	home, err := g.homeDir()
	if err != nil {
		return err
	}
	if !makeHome && !exists(home) {
		return errNoFarm
	}
	h, err := g.openOrKnock(ctx, home)
	if err != nil {
		return err
	}
	damaged := h.Damaged()
	for _, line := range damaged {
		g.warn(line)
	}
	if len(damaged) > 1 { // there may be something to get back
		g.warn("turnrow sync, or turnrow sync --with ADDRESS, exchanges; turnrow join INVITE takes up a new invite")
	}
	return errors.Join(work(h), h.Close())
}

// onFarm does something that goes on for long with the home's farm, and again
// where the home takes another identity meanwhile, by a call through the door.
func (k *call) onFarm(do func(*client.Farm) error) error {
	for {
		f, err := k.home.Farm()
		if err != nil {
			return err
		}
		if err := do(f); !errors.Is(err, client.ErrClosed) {
			return err
		}
	}
}

// place is where a call is carried out.
type place struct {
	args     []string     // the call
	held     *client.Home // of the program whose door the call came through; nil where it did not
	dir      string       // the caller's folder, where that is not this program's
	in       []byte       // what the caller's standard input held, where the call came through a door
	terminal bool         // whether the caller's output is a terminal, where the call came through a door
}

// openOrKnock opens a home, or gives doorExit once the program that holds it
// has done the work. A home that is held without a door is waited for.
func (g *globals) openOrKnock(calls context.Context, home string) (*client.Home, error) {
	ctx, cancel := context.WithTimeoutCause(calls, patience,
		fmt.Errorf("%s: another turnrow holds this home and does not let go of it", home))
	defer cancel()
	for wait := 10 * time.Millisecond; ; wait = min(2*wait, 200*time.Millisecond) {
		h, err := client.Open(home, client.Options{})
		if !errors.Is(err, logstore.ErrLocked) {
			return h, err
		}
		switch code, err := g.knock(calls, home); {
		case err == nil:
			return nil, doorExit(code)
		case !errors.Is(err, errNoDoor):
			return nil, err
		}
		select {
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-time.After(wait):
		}
	}
}

// path is where a file lies that the caller named: relative to the caller's
// folder, which is not this program's where the call came through the door.
func (g *globals) path(name string) string {
	if g.dir == "" || filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(g.dir, name)
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return !errors.Is(err, fs.ErrNotExist)
}
