package replica

import (
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// Belongs checks that a device may exchange on this farm. It gives
// exchange.ErrStranger, ErrWaiting, ErrKeptOut or ErrStopped where it may not.
func (r *Replica) Belongs(d entry.DeviceID) error {
	switch dev, ok := r.Device(d); {
	case !ok:
		return exchange.ErrStranger
	case !dev.Joined && dev.Refused:
		return exchange.ErrKeptOut
	case !dev.Joined && !dev.Stopped:
		return exchange.ErrWaiting
	case dev.Stopped || dev.Role == entry.NoRole && !dev.Porter:
		return exchange.ErrStopped
	}
	return nil
}

// Join takes in the log of a device that joins, from its first entry on. Its
// enrolment must take up an invite that the record holds, and that has neither
// been used nor run out at wall (ms since 1970). The log of a device that
// belongs to the farm already is taken as it is: whoever brings it, its device
// signed it.
//
// Errors are exchange.ErrInvite, ErrInviteUsed, ErrInviteOver, ErrProof,
// ErrStopped, and what is wrong with the run itself.
func (r *Replica) Join(run entry.Run, wall int64) error {
	switch err := r.Belongs(run.Device); err {
	case nil:
	case exchange.ErrStranger, exchange.ErrWaiting:
		if err := r.enrols(run, wall); err != nil {
			return err
		}
	default:
		return err
	}
	taken, err := r.log.Take([]entry.Run{run}) // no stranger: its invite has been looked at
	if err == nil && len(taken.Refused) > 0 {
		err = &taken.Refused[0]
	}
	return err
}

// enrols checks a new device's first entry.
func (r *Replica) enrols(run entry.Run, wall int64) error {
	head, body, err := First(r.id, run)
	if err != nil {
		return err
	}
	switch b := body.(type) {
	case *entry.FarmFounded:
		return nil // its key and paper are what the farm's ID is made from: the head says so
	case *entry.DeviceEnrolled:
		return r.invited(head, b, wall)
	}
	return fmt.Errorf("%w: a log begins with an enrolment", exchange.ErrMalformed)
}

func (r *Replica) invited(h chain.Head, b *entry.DeviceEnrolled, wall int64) error {
	r.mu.Lock()
	invite, ok := r.state.Invite(b.Invite)
	r.mu.Unlock()
	switch {
	case !ok:
		return exchange.ErrInvite
	case entry.VerifyEnrolment(invite.Key, r.id, h.Device, b.Key, b.Proof) != nil:
		return exchange.ErrProof
	case !invite.Used.IsZero() && invite.Used != h.Device:
		return exchange.ErrInviteUsed
	case wall > invite.Expires:
		return exchange.ErrInviteOver
	}
	return nil
}

// First reads the first entry of a log that has only just been met: the head
// before it, with the key that it names, and its body.
func First(id entry.FarmID, run entry.Run) (chain.Head, entry.Body, error) {
	if run.First != 1 || len(run.Entries) == 0 {
		return chain.Head{}, nil, fmt.Errorf("%w: the log of a new device comes from its first entry on", exchange.ErrMalformed)
	}
	head, err := wire.Start(id, run.Device, run.Entries[0])
	if err != nil {
		return chain.Head{}, nil, fmt.Errorf("%w: %w", exchange.ErrMalformed, err)
	}
	probe := head.Clone()
	e, err := wire.Decode(&probe, run.Entries[0])
	if err != nil {
		return chain.Head{}, nil, fmt.Errorf("%w: %w", exchange.ErrMalformed, err)
	}
	return head, e.Body, nil
}
