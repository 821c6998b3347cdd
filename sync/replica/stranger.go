package replica

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
)

// Take checks and keeps runs. Those that are not taken are named; the others
// are durable when it returns. Of devices that the record does not say belong,
// it takes only so much (exchange.ErrInviteFull, exchange.ErrStranger), and of
// those that belong so much for each day (exchange.ErrBudget). A porter, and who
// OnTaken names, have let in by then whom they may.
func (r *Replica) Take(runs []entry.Run) (exchange.Taken, error) {
	all, err := r.takes(runs)
	if err == nil && len(all.Entries) > 0 {
		r.admit()
		if r.taken != nil {
			r.taken()
		}
		all.New = r.log.Frontier()
	}
	return all, err
}

// OnTaken has fn called after others' entries were taken in, before Take returns
// and before anybody is answered, so that it can write what they call for. It is
// called once, before the first Take.
func (r *Replica) OnTaken(fn func()) { r.taken = fn }

func (r *Replica) takes(runs []entry.Run) (exchange.Taken, error) {
	var all exchange.Taken
	runs, all.Refused = r.budgets(runs)
	if slices.ContainsFunc(runs, func(run entry.Run) bool { return !r.joined(run.Device) }) {
		r.keeping.Lock() // what is kept is counted, and then taken
		defer r.keeping.Unlock()
	}
	for {
		some, turned := r.turnAway(runs)
		taken, err := r.log.Take(some)
		if err == nil {
			err = r.reread()
		}
		if err != nil {
			return all, err
		}
		all.Entries, all.New = append(all.Entries, taken.Entries...), taken.New
		all.Refused = append(all.Refused, taken.Refused...)
		if len(turned) == 0 || len(taken.Entries) == 0 {
			all.Refused = append(all.Refused, turned...)
			return all, nil
		}
		runs = of(runs, turned) // what was taken may have brought their invites
	}
}

// of is the runs that were turned away.
func of(runs []entry.Run, turned []exchange.Refusal) []entry.Run {
	rest := make([]entry.Run, 0, len(turned))
	for _, t := range turned {
		i := slices.IndexFunc(runs, func(r entry.Run) bool { return r.Device == t.Device && r.First == t.First })
		rest = append(rest, runs[i])
	}
	return rest
}

// turnAway takes out the runs of devices that do not belong, beyond the bounds. A
// log that comes before its invite is a stranger's, and is within theirs; once
// the invite is here it waits on that. What was turned away is missing still, and
// comes again.
func (r *Replica) turnAway(runs []entry.Run) (rest []entry.Run, turned []exchange.Refusal) {
	var k *kept // nil until a device is met that does not belong
	for i := range runs {
		run := &runs[i]
		if r.joined(run.Device) {
			rest = append(rest, *run)
			continue
		}
		if k == nil {
			k = r.kept()
		}
		if err := k.lets(run); err != nil {
			turned = append(turned, exchange.Refusal{Device: run.Device, First: run.First, Err: err})
			continue
		}
		rest = append(rest, *run)
	}
	return rest, turned
}

// joined says whether a device was let in, be it stopped since, or its admission
// void: what others wrote of its log names it still.
func (r *Replica) joined(id entry.DeviceID) (ok bool) {
	r.Read(func(s *farm.State) { _, ok = s.Since(id) })
	return ok
}

// kept is the logs of devices that do not belong, or not yet: by the invite on
// which each waits, zero where it waits on none.
type kept struct {
	replica *Replica
	logs    map[entry.DeviceID]entry.Key
	rightly map[entry.DeviceID]bool // of those that come now, whose first entry proves that they belong
	count   map[entry.Key]int
}

func (r *Replica) kept() *kept {
	k := &kept{replica: r, logs: map[entry.DeviceID]entry.Key{}, rightly: map[entry.DeviceID]bool{}, count: map[entry.Key]int{}}
	on := map[entry.DeviceID]entry.Key{}
	r.Read(func(s *farm.State) {
		for _, a := range s.Askers() {
			if !a.Invite.ID.IsZero() {
				on[a.Device()] = a.Invite.Key
			}
		}
	})
	for _, m := range r.log.Frontier() {
		id := m.Log.Device()
		if r.joined(id) {
			continue
		}
		k.keep(id, on[id])
		if d, ok := r.Device(id); ok && d.Refused {
			k.count[on[id]]-- // an owner has said so: another may be looked at in its place
		}
	}
	return k
}

func (k *kept) keep(d entry.DeviceID, invite entry.Key) {
	k.logs[d] = invite
	k.count[invite]++
}

// lets takes a run in, or says why not.
func (k *kept) lets(run *entry.Run) error {
	_, is := k.logs[run.Device]
	if !is && !k.rightly[run.Device] {
		if err := k.begins(run); err != nil {
			return err
		}
	}
	if k.rightly[run.Device] {
		return nil
	}
	return k.replica.short(run)
}

// begins finds room for a log that is not here yet.
func (k *kept) begins(run *entry.Run) error {
	invite, rightly := k.replica.claim(*run)
	switch {
	case rightly:
		k.rightly[run.Device] = true
		return nil
	case invite == entry.Key{} && k.count[invite] >= exchange.MaxStrangers:
		return fmt.Errorf("%w: logs of %d such devices are kept already", exchange.ErrStranger, k.count[invite])
	case invite != entry.Key{} && k.count[invite] >= exchange.InviteLogs:
		return fmt.Errorf("%w: %d devices wait on it", exchange.ErrInviteFull, k.count[invite])
	}
	k.keep(run.Device, invite)
	return nil
}

// short says whether a run keeps to what is kept of the log of a device that
// does not belong.
func (r *Replica) short(run *entry.Run) error {
	if run.First > exchange.StrangerEntries || run.Last() > exchange.StrangerEntries {
		return fmt.Errorf("%w: %d entries of it are kept at most", exchange.ErrStranger, exchange.StrangerEntries)
	}
	head, _ := r.log.Head(run.Device)
	if run.Last() > head.Seq && head.Bytes+uint64(run.Size()) > exchange.StrangerBytes {
		return fmt.Errorf("%w: %d bytes of it are kept at most", exchange.ErrStranger, exchange.StrangerBytes)
	}
	w := weigher{Replica: r}
	return w.rights(run, head.Seq, 0, &weight{}) // one day's
}

// claim is by what a log that is not here yet may be kept: the invite of the
// record that its first entry names, with that one's signature; or rightly, since
// its device belongs once the log is here. Otherwise it is a stranger's.
func (r *Replica) claim(run entry.Run) (invite entry.Key, rightly bool) {
	head, body, err := First(r.id, run)
	if err != nil {
		return entry.Key{}, false
	}
	at := head.Clone()
	at.Advance(run.Entries[0])
	r.Read(func(s *farm.State) {
		switch b := body.(type) {
		case *entry.FarmFounded:
			rightly = true // its key and paper are what the farm's ID is made from: the head says so
		case *entry.Recovered:
			rightly = s.Recovers(run.Device, b)
		case *entry.DeviceEnrolled:
			rightly = s.EverIn(at.Mark())
			if inv, ok := s.Invite(b.Invite); ok && entry.VerifyEnrolment(inv.Key, r.id, run.Device, b.Key, b.Proof) == nil {
				invite = inv.Key
			}
		}
	})
	return invite, rightly
}
