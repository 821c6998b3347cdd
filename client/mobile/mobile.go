// Package mobile is the client library in the shape that gobind
// (golang.org/x/mobile) takes: strings, whole numbers, bytes and one callback,
// so that an app in Java, Kotlin, Objective-C or Swift holds a farm as a Go
// program does.
//
// [Open] opens a home; [Home.Found] or [Home.Join] makes it of a farm. From then
// on [Home.View], [Home.Log] and [Home.Doubts] tell how the farm stands,
// [Home.Record] and the calls beside it write what somebody did, and [Home.Sync],
// [Home.Run], [Home.CarryOut] and [Home.CarryIn] exchange with others. [Home.Serve]
// serves the ready-made page to a web view. No call but Sync, Run, Invite, Found
// and Join uses a network. All are safe for concurrent use; most write to the
// disk, so none belongs on the thread that draws.
//
// What is given back is JSON, in the types of package answer. What is given is
// text as a person types it: a quantity has its unit beside it ("50 lb"), and a
// thing stands by its name or by the ID of the entry that made it
// (DEVICE/NUMBER). An empty text says nothing. Texts are UTF-8.
//
// Each error begins with a word that stays, a colon and a space; what follows is
// for people and may change:
//
//	no-farm      the home is of no farm yet: found or join one
//	has-farm     the home is of a farm already
//	no-identity  the home holds a record, but no device to write with: join anew
//	copied       a copy of this device writes under its name: join anew
//	closed       the home was closed
//	locked       another program has the home open
//	newer        a later version wrote the home
//	exposed      others than this user can read the device's key
//	disk         the disk takes no more
//	refused      what was to be written cannot be so: nothing was written
//	left-out     nothing was written, as somebody answered
//	owner        only an owner's device may do that
//	address      an address or an invite cannot be read
//	pin          the server is not the one that the farm knows
//	no-server    the farm has no server
//	away         the server was not reached: what was written is safe here
//	broke-off    it was, and then lost: what went so far is kept on both sides
//	invite       the invite has run out, was used up, or is not whole
//	founding     the founding code is wrong, used or out of date
//	stopped      this device was stopped
//	carry        a carry file is torn: what was whole before the tear was taken
//	other-farm   a carry file is of another farm
//	failed       anything else
package mobile

import (
	"context"
	"sync"
	"time"

	"turnrow/client"
	"turnrow/client/report"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// patience is how long a call waits for a network: an app's person looks on.
const patience = time.Minute

// Home is the folder on this device that holds its key and its copy of a farm's
// record. One that Open did not give is as good as closed.
type Home struct {
	home *client.Home
	ends context.Context // with the home
	end  context.CancelFunc
	work sync.WaitGroup // runs and the page

	mu      sync.Mutex
	running context.CancelFunc // of Run; nil where it does not run
	address string             // of the page; empty where it is not served
}

// Open opens a home in a folder of the app's own, which must be on the device's
// own disk and in no backup, and makes it on first use. Errors are locked, newer
// and exposed.
func Open(folder string) (*Home, error) {
	c, err := client.Open(folder, client.Options{})
	if err != nil {
		return nil, failed(err)
	}
	h := &Home{home: c}
	h.ends, h.end = context.WithCancel(context.Background())
	return h, nil
}

// opened says whether Open gave the home.
func (h *Home) opened() error {
	if h.home == nil {
		return failed(client.ErrClosed)
	}
	return nil
}

// Close ends Run and the page, waits for calls that are under way, and closes the
// home. Call it from anywhere but a Listener.
func (h *Home) Close() error {
	if err := h.opened(); err != nil {
		return err
	}
	h.mu.Lock()
	h.end()
	h.mu.Unlock()
	h.work.Wait()
	return failed(h.home.Close())
}

// network is a context for a call that uses a network.
func (h *Home) network() (context.Context, context.CancelFunc) {
	return context.WithTimeout(h.ends, patience)
}

// reporting answers for the farm as it stands.
func reporting(f *client.Farm) report.Report {
	return report.Report{Farm: f, View: sync.OnceValue(func() *farm.View { return f.View() }), System: system(f)}
}

// system is the units that a farm shows.
func system(f *client.Farm) units.System {
	if f.Founding().Metric {
		return units.Metric
	}
	return units.US
}
