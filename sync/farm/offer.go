package farm

import (
	"turnrow/sync/entry"
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
func (s *crewSt) Invite(key entry.Key) (Invite, bool) {
	for _, r := range s.crewRecs {
		if b, ok := r.body.(*entry.Invited); ok && b.Key == key && r.left == counts {
			return s.invite(r, b), true
		}
	}
	return Invite{}, false
}

// OpenInvites is the number of invites on which nobody was let in, and that
// have not run out at wall (ms since 1970).
func (s *crewSt) OpenInvites(wall int64) (n int) {
	for _, r := range s.crewRecs {
		if b, ok := r.body.(*entry.Invited); ok && r.left == counts && wall <= b.Expires && s.invite(r, b).Used.IsZero() {
			n++
		}
	}
	return n
}

func (s *crewSt) invite(r *rec, b *entry.Invited) Invite {
	inv := Invite{ID: r.id(), Person: b.Person, Key: b.Key, Expires: b.Expires}
	for _, d := range s.devices {
		if asks, ok := s.asks(d); ok && d.joined && asks.Invite == b.Key {
			inv.Used = d.id
		}
	}
	return inv
}

// asks is the enrolment by which a device asks to join.
func (s *crewSt) asks(d *device) (*entry.DeviceEnrolled, bool) {
	if d.rooted() != d || len(d.recs) == 0 {
		return nil, false
	}
	b, ok := d.recs[0].body.(*entry.DeviceEnrolled)
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

// Askers are the devices that ask to join, by device.
func (s *crewSt) Askers() []Asker {
	var out []Asker
	for _, d := range s.devicesInOrder() {
		b, ok := s.asks(d)
		if !ok || d.joined || s.refused(d.recs[0]) {
			continue
		}
		a := Asker{Enrolment: d.recs[0].signed(), Name: d.name, Entries: len(d.recs), Server: b.Invite == (entry.Key{}) && len(d.recs) == 1}
		if inv, ok := s.Invite(b.Invite); ok && s.proves(d.recs[0], b.Invite) {
			a.Invite = inv
		}
		out = append(out, a)
	}
	return out
}

// ToAdmit is what a device writes by itself, at wall (ms since 1970, by its own
// clock), if it may admit: who asks to join on an invite, in time, that nobody
// took as far as is known here, and that nobody who was stopped gave, is let in.
// All else is for an owner to say. Of two that ask on one invite the first to
// come here is let in.
func (s *crewSt) ToAdmit(id entry.DeviceID, wall int64) []entry.Body {
	me, ok := s.Device(id)
	if !ok || !me.Joined || me.Stopped || me.Forked || me.Role != entry.Owner && !me.Porter {
		return nil
	}
	var out []entry.Body
	taken := map[entry.ID]bool{}
	for _, d := range s.devices { // as they came
		b, asks := s.asks(d)
		if !asks || d.joined || s.refused(d.recs[0]) || d.root != nil {
			continue
		}
		inv, ok := s.Invite(b.Invite)
		if !ok || !inv.Used.IsZero() || wall > inv.Expires || taken[inv.ID] || !s.proves(d.recs[0], b.Invite) {
			continue
		}
		role, _ := s.stand.personNow(inv.Person)
		if by := s.post(s.find(inv.ID).dev); by.stopped() || role == entry.NoRole || role == entry.Owner && me.Role != entry.Owner {
			continue
		}
		taken[inv.ID] = true
		out = append(out, &entry.Admitted{Device: d.id, Hash: d.recs[0].hash, Person: inv.Person, Role: role})
	}
	return out
}

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (s *crewSt) Held(id entry.DeviceID, seq uint64) (entry.Mark, bool) {
	d := s.known(id)
	if d == nil {
		return entry.Mark{}, false
	}
	if seq == 0 {
		seq = d.held()
	}
	if !d.holds(seq) {
		return entry.Mark{}, false
	}
	return d.at(seq).signed(), true
}

// Holds says whether an entry has taken its place here.
func (s *crewSt) Holds(id entry.ID) bool { return s.find(id) != nil }

// Since is when a device was let in, by the wall clock of who let it in (ms
// since 1970); of the founding device and of one that a code on paper let in,
// by its own. It says so too of one of which the admission is void since.
func (s *crewSt) Since(id entry.DeviceID) (wall int64, ok bool) {
	d := s.known(id)
	if d == nil {
		return 0, false
	}
	if p := s.post(d); p != nil && p.joined() {
		return p.grants[0].by.wall, true
	}
	if len(d.recs) > 0 {
		wall, ok = s.ever.firsts[d.recs[0].signed()]
	}
	return wall, ok
}
