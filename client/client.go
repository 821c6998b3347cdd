// Package client is the library that every turnrow program on a device is
// made of. It records without any network, durably, and exchanges with the
// farm's server, or with another device, whenever there is one.
//
// A home folder holds the store, and the device's key in a file of its own
// (mode 0600), which no backup includes. The device made both itself. What the
// device may do is what the record says of its person; every replica works
// that out by itself.
//
// # What to call first
//
// [Open] opens a [Home], and [Home.Farm] gives the [Farm] that it is of. Where
// that is [ErrNoFarm], [Home.Found] founds one, [Home.Join] joins one on an
// invite, and [Home.Recover] takes one back with its code on paper. A Farm is
// asked for anew for each piece of work, as a home may take another identity.
//
// [Farm.View] is the farm as it stands, which never changes once given;
// [Farm.Changed] tells when to look again. [Farm.Ask] writes what [Farm.Intend]
// makes of intents, a [Fill] or a [Sign]: it refuses what cannot be ([Refused]),
// and asks about what is unlikely ([Unanswered]) before anything is written.
// [Farm.Record] and [Farm.RecordWith] write entries as they are given: none of
// those rules holds for them, and what is unlikely is in doubt afterwards.
//
// [Farm.Run] keeps device and server level in the background; [Farm.Sync],
// [Farm.SyncWith] and [Farm.Meet] exchange when they are called. No other call
// needs a network. All are safe for concurrent use.
//
// # What stays compatible
//
// Calls, types and errors are only added to: structs may get fields and
// constants more values, so name the fields of a literal and give each switch a
// default. Ask for errors by errors.Is and errors.As, as their text may change.
// A home is opened by every later version, and brought forward by it; a newer
// one is refused and left as it is (logstore.ErrNewer). What an unknown kind of
// entry says is kept and passed on.
package client

import (
	"crypto/x509"
	"errors"
	"log/slog"
	"time"

	"turnrow/client/transport"
	"turnrow/sync/logstore"
)

// The errors that a caller can act on, besides those of package exchange,
// logstore and keyfile.
var (
	// ErrClosed reports a home that was closed, or a farm that was: its home was,
	// or a joining or recovery there has put another identity in its place, which
	// Home.Farm gives.
	ErrClosed = errors.New("this home, or the identity that was in it, is closed")
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

// Options is how a home runs.
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
