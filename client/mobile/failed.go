package mobile

import (
	"errors"
	"fmt"

	"turnrow/client"
	"turnrow/client/safetext"
	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/keyfile"
	"turnrow/sync/wire"
)

var (
	errBelowZero = errors.New("must be 0 or more")
	errNoRole    = errors.New("owner, operator, helper or viewer is wanted")
	errRuns      = errors.New("it runs already")
)

// failure is an error with the word that stands for it: across gobind an error
// is its text.
type failure struct {
	word string
	error
}

func (f *failure) Error() string { return f.word + ": " + f.error.Error() }

func (f *failure) Unwrap() error { return f.error }

// failures are what errors go by, the narrower first.
var failures = []struct {
	err  error
	word string
}{
	{client.ErrNoFarm, "no-farm"}, {client.ErrHasFarm, "has-farm"}, {client.ErrNoIdentity, "no-identity"}, {syncer.ErrCopied, "copied"},
	{client.ErrClosed, "closed"}, {logstore.ErrLocked, "locked"}, {logstore.ErrNewer, "newer"}, {keyfile.ErrExposed, "exposed"},
	{logstore.ErrDisk, "disk"}, {wire.ErrDraft, "refused"}, {client.ErrLeftOut, "left-out"}, {client.ErrOwner, "owner"},
	{client.ErrPin, "pin"}, {client.ErrUnvouched, "pin"}, {client.ErrNoServer, "no-server"}, {client.ErrBrokeOff, "broke-off"}, {client.ErrAway, "away"},
	{exchange.ErrInvite, "invite"}, {exchange.ErrInviteOver, "invite"}, {exchange.ErrInviteFull, "invite"}, {exchange.ErrProof, "invite"},
	{exchange.ErrFounding, "founding"}, {exchange.ErrStopped, "stopped"}, {client.ErrAddress, "address"},
	{wire.ErrCarry, "carry"}, {client.ErrOtherFarm, "other-farm"},
}

// failed puts before an error the word that it goes by.
func failed(err error) error {
	var has *failure
	if err == nil || errors.As(err, &has) {
		return err
	}
	for _, w := range failures {
		if errors.Is(err, w.err) {
			return &failure{w.word, err}
		}
	}
	var not client.Refused
	var char *safetext.Error
	var out *entry.RangeError
	if errors.As(err, &not) || errors.As(err, &char) || errors.As(err, &out) {
		return &failure{"refused", err}
	}
	return &failure{"failed", err}
}

// refused is that what was given under a name is not taken.
func refused(name string, err error) error {
	return &failure{"refused", fmt.Errorf("%s: %w", name, err)}
}
