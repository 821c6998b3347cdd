package client

import (
	"sync"
	"sync/atomic"
	"time"

	"turnrow/client/transport"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/replica"
)

// record is the log that a farm needs: what a replica needs, and what is
// remembered of peers.
type record interface {
	replica.Log
	// SetPeer remembers how far a peer holds the record durably.
	SetPeer(name string, f chain.Frontier) error
	// Peer is what SetPeer remembered.
	Peer(name string) (chain.Frontier, error)
	// Behind says whether a device that records here has lost entries that others
	// may have.
	Behind(d entry.DeviceID) error
	// Verify walks every chain and signature.
	Verify(progress func(done, total uint64)) (logstore.Report, error)
}

// Farm is a device's copy of a farm's record, and the identity under which the
// device writes to it. Which farm and which identity that is never changes: a
// home that takes another identity closes this and opens another.
//
// A closed farm writes nothing and exchanges with nobody (ErrClosed). Nor does
// one that came from a backup, until its home joins anew (ErrNoIdentity); it can
// be read. A Farm is safe for concurrent use.
type Farm struct {
	*kept
	me      *identity     // nil where it can be read only
	closed  chan struct{} // closed with it
	closing sync.Once

	genuine atomic.Bool // the identity was found to be this store's own
	twin    atomic.Bool // it was found to write to another store too

	mu       sync.Mutex       // guards what follows
	conn     *transport.Conn  // to the server; nil where there is none yet
	dialed   dialed           // what conn is for
	admitted []entry.DeviceID // let in, and nobody was told yet

	admitting sync.Mutex   // whoever asks is let in once
	writing   sync.RWMutex // read-locked by those who write together, locked by who must know what its own entries will be called
	syncing   sync.Mutex   // one exchange with the server at a time
}

// kept is a farm's record as a home keeps it, whoever writes to it.
type kept struct {
	machine
	store   *logstore.Store
	replica *replica.Replica
	record  record
	writer  atomic.Pointer[Farm] // that the identity in this home writes by

	bell    bell
	views   atomic.Int64 // worked out so far
	looked  atomic.Bool  // at the farm, since it was opened
	met     met
	urgent  *urgent
	numbers *numbers
	apart   atomic.Pointer[time.Duration] // how far ahead the clock of who was last met is; nil before that

	remembering sync.Mutex                     // guards what follows
	peers       map[string]exchange.Generation // every peer of which something is remembered
	brief       map[string]bool                // those that read short names
}

// openFarm opens the record of a farm, for an identity to write to.
func (h *Home) openFarm(store *logstore.Store, id entry.FarmID, me *identity) (*Farm, error) {
	log, err := store.Farm(id)
	if err != nil {
		return nil, err
	}
	k := &kept{machine: h.machine, store: store, record: log, urgent: newUrgent(), numbers: &numbers{store: store}}
	if err := k.readMet(); err != nil {
		return nil, err
	}
	if k.peers, err = k.readPeers(); err != nil {
		return nil, err
	}
	if k.brief, err = k.readBrief(); err != nil {
		return nil, err
	}
	f := k.writtenBy(me)
	hurried(log.Frontier(), func() {
		k.replica, err = replica.Open(id, store.Generation(), watched{log, k.writer.Load})
	})
	if err != nil {
		return nil, err
	}
	k.replica.OnTaken(func() { k.writer.Load().letIn() })
	k.replica.OnChanged(k.bell.ring)
	k.replica.OnView(func() { k.views.Add(1) })
	k.replica.Clock(func() int64 { return k.now().UnixMilli() })
	return f, nil
}

// writtenBy has an identity write to the record from now on.
func (k *kept) writtenBy(me *identity) *Farm {
	f := &Farm{kept: k, me: me, closed: make(chan struct{})}
	k.writer.Store(f)
	return f
}

// close ends all that goes on with a farm.
func (f *Farm) close() {
	f.closing.Do(func() {
		close(f.closed)
		f.hangUp()
	})
}

// Done is closed with the farm.
func (f *Farm) Done() <-chan struct{} { return f.closed }

// ID is the farm's.
func (f *Farm) ID() entry.FarmID { return f.replica.Farm() }

// Device is this device; zero where it has no identity.
func (f *Farm) Device() entry.DeviceID {
	if f.me == nil {
		return entry.DeviceID{}
	}
	return f.me.device
}

// Person is the device's own person; zero until the record here names one.
func (f *Farm) Person() entry.ID {
	d, _ := f.replica.Device(f.Device())
	return d.Person
}

// writes is the identity that writes; ErrClosed or ErrNoIdentity where none
// does.
func (f *Farm) writes() (*identity, error) {
	switch {
	case f.isClosed():
		return nil, ErrClosed
	case f.me == nil:
		return nil, ErrNoIdentity
	}
	return f.me, nil
}

func (f *Farm) isClosed() bool {
	select {
	case <-f.closed:
		return true
	default:
		return false
	}
}
