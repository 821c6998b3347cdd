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

// Join takes in the log of a device that asks to join, from its first entry on.
// Its enrolment must name an invite that the record holds, with that one's
// signature. Whether the invite was used, or has run out, is for whoever lets
// the device in to judge: until then its log waits, up to exchange.InviteLogs of
// them for each invite. The log of a device that is known to the farm already is
// taken as it is: whoever brings it, its device signed it.
//
// Errors are exchange.ErrInvite, ErrInviteFull, ErrProof, ErrKeptOut, ErrStopped,
// and what is wrong with the run itself.
func (r *Replica) Join(run entry.Run) error {
	switch err := r.Belongs(run.Device); err {
	case nil, exchange.ErrWaiting:
	case exchange.ErrStranger:
		if _, err := r.asks(run); err != nil {
			return err
		}
	default:
		return err
	}
	taken, err := r.Take([]entry.Run{run})
	if err == nil && len(taken.Refused) > 0 {
		err = &taken.Refused[0]
	}
	return err
}

// asks checks the log of a device that is not known here: who signed it, and by
// what it asks to join. It gives the key of the invite, or of the device where
// that belongs once its log is here.
func (r *Replica) asks(run entry.Run) (entry.Key, error) {
	head, body, err := First(r.id, run)
	if err != nil {
		return entry.Key{}, err
	}
	invite, rightly := r.claim(run)
	switch b := body.(type) {
	case *entry.FarmFounded:
	case *entry.Recovered:
		if !rightly {
			return entry.Key{}, exchange.ErrProof
		}
	case *entry.DeviceEnrolled:
		if err := r.invited(run.Device, b); err != nil && !rightly {
			return entry.Key{}, err
		}
	default:
		return entry.Key{}, fmt.Errorf("%w: a log begins with an enrolment", exchange.ErrMalformed)
	}
	if _, _, _, err := wire.Open(head, run, nil); err != nil {
		return entry.Key{}, err
	}
	if rightly {
		return head.Key, nil
	}
	return invite, nil
}

func (r *Replica) invited(d entry.DeviceID, b *entry.DeviceEnrolled) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch invite, ok := r.state.Invite(b.Invite); {
	case !ok:
		return exchange.ErrInvite
	case entry.VerifyEnrolment(invite.Key, r.id, d, b.Key, b.Proof) != nil:
		return exchange.ErrProof
	}
	return nil
}

// Await answers an exchange of a device that waits to be let in: it takes that
// one's own log, and tells of nothing else.
func (r *Replica) Await(d entry.DeviceID, req exchange.Request) (exchange.Response, error) {
	resp := exchange.Response{Generation: r.gen, ReadsBrief: true, Waits: true}
	var own []entry.Run
	for _, run := range req.Runs {
		if run.Device == d {
			own = append(own, run)
		}
	}
	if len(own) > 0 {
		taken, err := r.Take(own)
		if err != nil {
			return exchange.Response{}, err
		}
		resp.Refusals = taken.Refused
	}
	if r.Belongs(d) == nil { // it was let in meanwhile
		req.Runs = nil
		all, err := r.Exchange(req)
		all.Refusals = resp.Refusals
		return all, err
	}
	resp.Stored = r.ownOf(d)
	var err error
	resp.Have, resp.Unknown, err = req.Holds(resp.Stored)
	return resp, err
}

// ownOf is how far a device's log is stored, and nothing else.
func (r *Replica) ownOf(d entry.DeviceID) chain.Frontier {
	if m := r.Frontier().Mark(d.Log()); m.Seq > 0 {
		return chain.Frontier{m}
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
