package crew

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// Invite is an offer of a place, as the record names it.
type Invite struct {
	ID      entry.ID
	Person  entry.ID
	Key     entry.Key
	Expires int64          // ms since 1970
	Used    entry.DeviceID // a device that was let in on it; zero where none was
}

// Invite finds an invite that counts by its public key.
func (s *Crew) Invite(key entry.Key) (Invite, bool) {
	for _, r := range s.CrewRecs {
		if b, ok := r.Body.(*entry.Invited); ok && b.Key == key && r.Left == order.Counts {
			return s.invite(r, b), true
		}
	}
	return Invite{}, false
}

// OpenInvites is the number of invites on which nobody was let in, and that
// have not run out at wall (ms since 1970).
func (s *Crew) OpenInvites(wall int64) (n int) {
	for _, r := range s.CrewRecs {
		if b, ok := r.Body.(*entry.Invited); ok && r.Left == order.Counts && wall <= b.Expires && s.invite(r, b).Used.IsZero() {
			n++
		}
	}
	return n
}

func (s *Crew) invite(r *order.Rec, b *entry.Invited) Invite {
	inv := Invite{ID: r.ID(), Person: b.Person, Key: b.Key, Expires: b.Expires}
	for _, d := range s.Logs {
		if asks, ok := s.asks(d); ok && d.Joined && asks.Invite == b.Key {
			inv.Used = d.ID.Device()
		}
	}
	return inv
}

// asks is the enrolment by which a device asks to join.
func (s *Crew) asks(d *order.Log) (*entry.DeviceEnrolled, bool) {
	if d.Rooted() != d || len(d.Recs) == 0 {
		return nil, false
	}
	b, ok := d.Recs[0].Body.(*entry.DeviceEnrolled)
	return b, ok
}

// Asker is a device that asks to join: it has an enrolment here, and nobody
// said yet whether it belongs.
type Asker struct {
	Enrolment entry.Mark // its first entry
	Name      string
	Invite    Invite // what it asks on; zero where that is not here, or its proof does not fit
	Entries   int    // of its log
	// Server says that it asks on no invite, and wrote nothing else: a server that
	// offers itself as porter, which nobody has to answer.
	Server bool
}

// Device is who asks.
func (a *Asker) Device() entry.DeviceID { return a.Enrolment.Log.Device() }

// Askers are the devices that ask to join, by device.
func (s *Crew) Askers() []Asker {
	var out []Asker
	for _, d := range s.LogsInOrder() {
		b, ok := s.asks(d)
		if !ok || d.Joined || s.Refused(d.Recs[0]) {
			continue
		}
		a := Asker{Enrolment: d.Recs[0].Signed(), Name: d.Name, Entries: len(d.Recs), Server: b.Invite == (entry.Key{}) && len(d.Recs) == 1}
		if inv, ok := s.Invite(b.Invite); ok && s.proves(d.Recs[0], b.Invite) {
			a.Invite = inv
		}
		out = append(out, a)
	}
	return out
}

// ToAdmit is what a device writes by itself, at wall (ms since 1970, by its own
// clock), if it may admit: who asks to join on an invite, in time, that nobody
// took as far as is known here, and that nobody who was stopped gave, is let in,
// once. All else is for an owner to say. Of two that ask on one invite the first to
// come here is let in.
func (s *Crew) ToAdmit(id entry.DeviceID, wall int64) []entry.Body {
	me, ok := s.Device(id)
	if !ok || !me.Joined || me.Stopped || me.Forked || me.Role != entry.Owner && !me.Porter {
		return nil
	}
	var out []entry.Body
	taken := map[entry.ID]bool{}
	for _, d := range s.Logs { // as they came
		b, asks := s.asks(d)
		if !asks || d.Joined || s.Refused(d.Recs[0]) || d.Root != nil {
			continue
		}
		inv, ok := s.Invite(b.Invite)
		if !ok || !inv.Used.IsZero() || wall > inv.Expires || taken[inv.ID] || !s.proves(d.Recs[0], b.Invite) {
			continue
		}
		role, _ := s.Membership.PersonNow(inv.Person)
		if by := s.Post(s.Find(inv.ID).Log); by.Stopped() || role == entry.NoRole || role == entry.Owner && me.Role != entry.Owner {
			continue
		}
		if taken[inv.ID] = true; s.saidBy(id, d) {
			continue
		}
		out = append(out, &entry.Admitted{Device: d.ID.Device(), Hash: d.Recs[0].Hash, Person: inv.Person, Role: role})
	}
	return out
}

// saidBy says whether a device let another in already: where that has no force, to
// say it again has none either.
func (s *Crew) saidBy(id entry.DeviceID, d *order.Log) bool {
	return slices.ContainsFunc(s.CrewRecs, func(r *order.Rec) bool {
		b, ok := r.Body.(*entry.Admitted)
		return ok && r.Log.Signs() == id && b.Device.Log() == d.ID && b.Hash == d.Recs[0].Hash
	})
}

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (s *Crew) Held(id entry.DeviceID, seq uint64) (entry.Mark, bool) {
	d := s.Known(id.Log())
	if d == nil {
		return entry.Mark{}, false
	}
	if seq == 0 {
		seq = d.Held()
	}
	if !d.Holds(seq) {
		return entry.Mark{}, false
	}
	return d.At(seq).Signed(), true
}

// Holds says whether an entry has taken its place here.
func (s *Crew) Holds(id entry.ID) bool { return s.Find(id) != nil }

// Since is when a device was let in, by the wall clock of who let it in (ms
// since 1970); of the founding device and of one that a code on paper let in,
// by its own. It says so too of one of which the admission is void since.
func (s *Crew) Since(id entry.DeviceID) (wall int64, ok bool) {
	d := s.Known(id.Log())
	if d == nil {
		return 0, false
	}
	if p := s.Post(d); p != nil && p.Joined() {
		return p.Grants[0].By.Wall, true
	}
	if len(d.Recs) > 0 {
		wall, ok = s.Ever.firsts[d.Recs[0].Signed()]
	}
	return wall, ok
}

// Recovers says whether a recovery carries the signature of a code on paper of
// this farm's, as far as is known here.
func (s *Crew) Recovers(d entry.DeviceID, b *entry.Recovered) bool {
	if s.Membership == nil {
		return false
	}
	for _, c := range s.Membership.codes {
		if entry.VerifyRecovery(c.key, s.FarmID, d, b.Key, b.Next, b.Proof) == nil {
			return true
		}
	}
	return false
}
