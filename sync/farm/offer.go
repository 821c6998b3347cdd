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
	Used    entry.DeviceID // zero where nobody took it up
}

// Invite finds an invite that counts by its public key.
func (s *State) Invite(key entry.Key) (Invite, bool) {
	for _, r := range s.order {
		if b, ok := r.body.(*entry.Invited); ok && b.Key == key && r.left == counts {
			return s.invite(r, b), true
		}
	}
	return Invite{}, false
}

// Offer finds an invite that counts by its entry.
func (s *State) Offer(id entry.ID) (Invite, bool) {
	r := s.find(id)
	if r == nil || r.left != counts {
		return Invite{}, false
	}
	b, ok := r.body.(*entry.Invited)
	if !ok {
		return Invite{}, false
	}
	return s.invite(r, b), true
}

// OpenInvites is the number of invites that nobody took up, and that have not
// run out at wall (ms since 1970).
func (s *State) OpenInvites(wall int64) (n int) {
	taken := map[*rec]bool{}
	for _, d := range s.devices {
		taken[d.invite] = true
	}
	for _, r := range s.crewRecs.all() {
		if b, ok := r.body.(*entry.Invited); ok && r.left == counts && !taken[r] && wall <= b.Expires {
			n++
		}
	}
	return n
}

func (s *State) invite(r *rec, b *entry.Invited) Invite {
	inv := Invite{ID: r.id(), Person: b.Person, Key: b.Key, Expires: b.Expires}
	for _, t := range s.takers(r) {
		if t.dev.joined {
			inv.Used = t.dev.id
		}
	}
	return inv
}
