package client

import (
	"context"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// admit lets in whoever asks to join, where this device may: on an invite, in
// time by its own clock, that nobody took as far as it knows. All else is for
// an owner to say.
func (f *Farm) admit() error {
	f.admitting.Lock()
	defer f.admitting.Unlock()
	me, err := f.writes()
	if err != nil || f.original() != nil {
		return nil // a home that writes nothing admits nobody
	}
	var bodies []entry.Body
	f.read(func(s *farm.State) { bodies = s.ToAdmit(me.device, f.now().UnixMilli()) })
	if len(bodies) == 0 {
		return nil
	}
	f.writing.RLock()
	defer f.writing.RUnlock()
	ids, err := f.write(entry.ID{}, bodies)
	f.mu.Lock()
	defer f.mu.Unlock()
	for i := range ids {
		f.admitted = append(f.admitted, bodies[i].(*entry.Admitted).Device)
	}
	return err
}

// letIn is admit whenever entries of others have come, so that whoever is
// answered, or asked again, hears of it. What goes wrong goes wrong again at the
// end of the call, where somebody is told.
func (f *Farm) letIn() {
	if err := f.admit(); err != nil {
		f.log.Error("cannot let in who asks to join", "err", err)
	}
}

// admits is admit, and gives those that were let in since somebody was told.
func (f *Farm) admits() ([]entry.DeviceID, error) {
	err := f.admit()
	f.mu.Lock()
	defer f.mu.Unlock()
	in := f.admitted
	f.admitted = nil
	return in, err
}

// Waits says whether this device waits to be let in, as far as is known here:
// what it writes counts once an owner's device or the server has let it in.
func (f *Farm) Waits() bool {
	return f.me != nil && !f.Own().Joined
}

// Asking are the devices that ask to join, and that nobody has let in or kept
// out yet; not a server that offers itself as porter.
func (f *Farm) Asking() (asking []farm.Asker) {
	f.read(func(s *farm.State) { asking = s.Askers() })
	return slices.DeleteFunc(asking, func(a farm.Asker) bool { return a.Server })
}

// Admit lets a device in that asks to join, as a person's, with a role: at most
// the person's own. A zero person is the one whom its invite names, NoRole that
// person's role. One that was kept out or stopped it lets in again. Errors are ErrOwner, and ErrNoDevice for one that does not ask here.
func (f *Farm) Admit(ctx context.Context, device entry.DeviceID, person entry.ID, role entry.Role) error {
	_, err := f.RecordWith(ctx, entry.ID{}, f.Intend(LetIn{Device: device, Person: person, Role: role}))
	return err
}

// Refuse keeps a device out that asks to join. Admit lets it in all the same,
// some day.
func (f *Farm) Refuse(ctx context.Context, device entry.DeviceID) error {
	_, err := f.RecordWith(ctx, entry.ID{}, f.Intend(KeepOut{Device: device}))
	return err
}

func memberOf(v *farm.View, id entry.ID) (farm.Member, bool) {
	for _, m := range v.Crew {
		if m.ID == id {
			return m, true
		}
	}
	return farm.Member{}, false
}

// takeOn has a server's device let in whoever has an invite, where this device
// is an owner's and its person said so when the server was named.
func (f *Farm) takeOn(offered entry.Mark) (bool, error) {
	wanted, err := f.store.Setting(settingPorter)
	if err != nil || wanted == nil || offered.Log.IsZero() || f.owner() != nil {
		return false, err
	}
	if _, err := f.writes(); err != nil || f.original() != nil {
		return false, nil
	}
	if d, here := f.replica.Device(offered.Log.Device()); here && (d.Joined || d.Refused || d.Stopped) {
		return false, nil
	}
	f.writing.RLock()
	defer f.writing.RUnlock()
	if _, err := f.write(entry.ID{}, []entry.Body{&entry.Admitted{Device: offered.Log.Device(), Hash: offered.Hash, Porter: true}}); err != nil {
		return false, err
	}
	return true, f.store.SetSettings(map[string][]byte{settingPorter: nil})
}

// admitRounds is how often a call exchanges again to bring out whom it let in.
const admitRounds = 2

// levelAndAdmit brings this device and a peer level, lets in who asked, and
// exchanges again so that the peer hears of it.
func (f *Farm) levelAndAdmit(res *SyncResult, level func() (SyncResult, error)) error {
	for range admitRounds {
		did, err := level()
		res.add(did)
		before := f.ownSeq()
		in, admitErr := f.admits()
		res.Admitted = append(res.Admitted, in...)
		porter, porterErr := f.takeOn(did.offers)
		res.Porter = res.Porter || porter
		if err != nil || admitErr != nil || porterErr != nil {
			return firstError(err, admitErr, porterErr)
		}
		if f.ownSeq() == before && !porter {
			return nil
		}
	}
	did, err := level()
	res.add(did)
	return err
}

// ownSeq is how many entries this device has written.
func (f *Farm) ownSeq() uint64 {
	return f.replica.Frontier().Seq(f.Device().Log())
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// add counts another exchange with the same peer.
func (r *SyncResult) add(o SyncResult) {
	r.Sent += o.Sent
	r.Received += o.Received
	r.RoundTrips += o.RoundTrips
	r.BytesOut += o.BytesOut
	r.BytesIn += o.BytesIn
	r.MessageBytes += o.MessageBytes
	r.Anew = r.Anew || o.Anew
	r.Waits = o.Waits
	r.Refused = append(r.Refused, o.Refused...)
}
