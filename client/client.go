// Package client is the library that every turnrow program on a device is
// made of. A [Client] keeps one device's copy of its farm's record in a home
// folder. It records without any network, durably, and exchanges with the
// farm's server, or with another device, whenever there is one.
//
// A home folder holds the store, and the device's key in a file of its own
// (mode 0600), which no backup includes. The device made both itself. What the
// device may do is what the record says of its person; every replica works
// that out by itself.
package client

import (
	"crypto/x509"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
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

// The errors that a caller can act on, besides those of package exchange,
// logstore and keyfile.
var (
	// ErrNoFarm reports a home that belongs to no farm yet: found or join one.
	ErrNoFarm = errors.New("this device belongs to no farm yet")
	// ErrHasFarm reports a home that belongs to a farm already.
	ErrHasFarm = errors.New("this device belongs to a farm already")
	// ErrNoIdentity reports a home that holds a record, but no device to write
	// with: it was restored from a backup, and needs a new invite.
	ErrNoIdentity = errors.New("this device has no identity: it needs an invite before it can write")
	// ErrNoServer reports a farm that has no server.
	ErrNoServer = errors.New("this farm has no server")
	// ErrNoDevice reports a device of which nothing is here.
	ErrNoDevice = errors.New("nothing of that device is here: exchange first")
	// ErrElder reports a device that stands above this one.
	ErrElder = errors.New("this device cannot stop one that stands above it: a device of who made its person an owner can, or the code on paper")
	// ErrOwner reports something that only an owner may do.
	ErrOwner = errors.New("only an owner may do that")
	// ErrAddress reports an address or an invite that cannot be read.
	ErrAddress = errors.New("not an address")
	// ErrListen reports an address on which nobody can be met.
	ErrListen = errors.New("cannot meet others")
	// ErrPin reports a server that is not the one that the invite named.
	ErrPin = errors.New("the server is not the one that this farm knows: its certificate is another")
	// ErrUnvouched reports a server without a pin whose certificate no authority
	// vouches for.
	ErrUnvouched = transport.ErrUnvouched
	// ErrAway reports that the other could not be reached. What was recorded
	// is safe on this device.
	ErrAway = transport.ErrAway
	// ErrBrokeOff reports, besides ErrAway, that the other had answered before it
	// was lost. What went so far is kept on both sides.
	ErrBrokeOff = errors.New("it had answered, and the connection broke off")
)

// Options is how a client runs.
type Options struct {
	Logger *slog.Logger     // nil is silent
	Now    func() time.Time // the device's wall clock; nil is time.Now
	Roots  *x509.CertPool   // authorities that vouch for servers without a pin; nil is the machine's
	FS     logstore.FS      // that the store lies on; nil is the machine's, and the key is always there
}

// The parts of a home folder.
const (
	storeDir = "store"
	keyName  = "device.pem"
)

// record is the log that a client needs: what a replica needs, and what is
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

// Client is one device's copy of a farm's record. It is safe for concurrent
// use.
type Client struct {
	home  string
	fs    logstore.FS
	log   *slog.Logger
	now   func() time.Time
	roots *x509.CertPool
	store atomic.Pointer[logstore.Store] // another one after a founding or joining that was undone

	mu     sync.Mutex // guards what follows
	me     *identity
	farm   *replica.Replica // nil before the device belongs to one
	record record
	peers  map[string]exchange.Generation // every peer of which something is remembered
	brief  map[string]bool                // those that read short names
	conn   *transport.Conn                // to the server; nil where there is none yet
	dialed dialed                         // what conn is for

	genuine atomic.Pointer[identity] // that has been found to be this store's own
	twin    atomic.Pointer[identity] // that has been found to write to another store too

	met   met
	bell  bell
	views atomic.Int64 // worked out so far

	looked atomic.Bool                   // at the farm, since it was opened
	apart  atomic.Pointer[time.Duration] // how far ahead the clock of who was last met is; nil before that

	admitted []entry.DeviceID // let in, and nobody was told yet; under mu

	beginning sync.Mutex   // one founding, joining or recovery at a time
	admitting sync.Mutex   // whoever asks is let in once
	writing   sync.RWMutex // read-locked by those who write together, locked by who must know what its own entries will be called
	syncing   sync.Mutex   // one exchange with the server at a time
}

// Open opens a home folder, and makes it on first use. Errors that a caller
// can act on are logstore.ErrLocked, logstore.ErrNewer and keyfile.ErrExposed.
func Open(home string, o Options) (*Client, error) {
	c := &Client{home: home, fs: o.FS, log: o.Logger, now: o.Now, roots: o.Roots}
	if c.log == nil {
		c.log = slog.New(slog.DiscardHandler)
	}
	if c.now == nil {
		c.now = time.Now
	}
	if err := os.MkdirAll(home, 0o700); err != nil {
		return nil, err
	}
	err := c.open()
	if errors.Is(err, logstore.ErrCorrupt) && c.disk() != nil { // which only shows when it is read
		err = errors.Join(c.disk().Condemn(), c.Close())
		if err == nil {
			err = c.open()
		}
	}
	if err != nil {
		return nil, errors.Join(err, c.Close())
	}
	return c, nil
}

func (c *Client) open() (err error) {
	store, err := logstore.Open(filepath.Join(c.home, storeDir), logstore.Options{Logger: c.log, FS: c.fs})
	if err != nil {
		return err
	}
	c.store.Store(store)
	if err := c.readMet(); err != nil {
		return err
	}
	me, err := loadIdentity(filepath.Join(c.home, keyName))
	if err != nil {
		return err
	}
	c.mu.Lock()
	c.me = me
	c.mu.Unlock()
	if err := c.mended(me); err != nil {
		return err
	}
	farm, err := c.disk().Setting(settingFarm)
	if err != nil || farm == nil {
		return err
	}
	log, err := c.disk().Farm(entry.FarmID(farm))
	if err != nil {
		return err
	}
	if d, err := c.disk().Damage(); len(log.Frontier()) == 0 && (d == nil || err != nil) {
		return err // a founding or joining was cut short before its first entry: it can be tried again
	}
	return c.openFarm(entry.FarmID(farm))
}

// openFarm opens the record of the farm that this home belongs to.
func (c *Client) openFarm(id entry.FarmID) error {
	log, err := c.disk().Farm(id)
	if err != nil {
		return err
	}
	peers, err := c.readPeers()
	if err != nil {
		return err
	}
	brief, err := c.readBrief()
	if err != nil {
		return err
	}
	var r *replica.Replica
	hurried(log.Frontier(), func() {
		r, err = replica.Open(id, c.disk().Generation(), watched{log, c.ownTaken, c.Device})
	})
	if err != nil {
		return err
	}
	r.OnTaken(c.letIn)
	r.OnChanged(c.bell.ring)
	r.OnView(func() { c.views.Add(1) })
	r.Clock(func() int64 { return c.now().UnixMilli() })
	c.mu.Lock()
	defer c.mu.Unlock()
	c.farm, c.record, c.peers, c.brief = r, log, peers, brief
	return nil
}

// Close closes the store. The client is of no use afterwards.
func (c *Client) Close() error {
	c.hangUp()
	if c.disk() == nil {
		return nil
	}
	if r, err := c.replica(); err == nil {
		_ = r.Save() // the log has everything: opening only takes longer without
	}
	return c.disk().Close()
}

// disk is the store, nil before one is open.
func (c *Client) disk() *logstore.Store { return c.store.Load() }

// kept is the log itself; ErrNoFarm where there is none.
func (c *Client) kept() (record, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.record == nil {
		return nil, ErrNoFarm
	}
	return c.record, nil
}

// Farm is the farm that the device belongs to; zero where it belongs to none.
func (c *Client) Farm() entry.FarmID {
	if r, err := c.replica(); err == nil {
		return r.Farm()
	}
	return entry.FarmID{}
}

// Device is this device; zero where it has no identity yet.
func (c *Client) Device() entry.DeviceID {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.me == nil {
		return entry.DeviceID{}
	}
	return c.me.device
}

// Person is the device's own person; zero until the record here names one.
func (c *Client) Person() entry.ID {
	r, err := c.replica()
	if err != nil {
		return entry.ID{}
	}
	d, _ := r.Device(c.Device())
	return d.Person
}

func (c *Client) replica() (*replica.Replica, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.farm == nil {
		return nil, ErrNoFarm
	}
	return c.farm, nil
}

// writer is the replica and the identity that write to it.
func (c *Client) writer() (*replica.Replica, *identity, error) {
	r, err := c.replica()
	if err != nil {
		return nil, nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.me == nil {
		return nil, nil, ErrNoIdentity
	}
	return r, c.me, nil
}
