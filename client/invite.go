package client

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"fmt"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
)

// Invite offers a person a place for one device, for a day, and gives the
// invite's text. A person whom the farm does not know yet is added with the
// role; one whom it knows must have it. Only an owner's device may: ErrOwner.
// A farm has so many open invites at most: exchange.ErrBound.
func (f *Farm) Invite(ctx context.Context, person string, role entry.Role) (string, error) {
	pub, secret, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return "", err
	}
	expires := f.now().Add(exchange.InviteHours * time.Hour)
	_, err = f.RecordWith(ctx, entry.ID{}, func(look Look, next func(int) entry.ID) ([]entry.Body, error) {
		if err := f.owner(); err != nil {
			return nil, err
		}
		if n := f.openInvites(); n >= exchange.OpenInvites {
			return nil, fmt.Errorf("%w: %d invites are open, %d at most; each ends after %d hours",
				exchange.ErrBound, n, exchange.OpenInvites, exchange.InviteHours)
		}
		invite := &entry.Invited{Key: entry.Key(pub), Expires: expires.UnixMilli()}
		m, known := member(look(), person)
		switch {
		case !known:
			invite.Person = next(0)
			return []entry.Body{&entry.MemberAdded{Name: person, Role: role}, invite}, nil
		case m.Role != role:
			return nil, fmt.Errorf("%s is %s on this farm, not %s: change the role first, or invite as %[2]s", person, m.Role, role)
		}
		invite.Person = m.ID
		return []entry.Body{invite}, nil
	})
	if err != nil {
		return "", err
	}
	return f.invitation(person, role, expires, secret)
}

// owner checks that this device's person is an owner.
func (f *Farm) owner() error {
	me, err := f.writes()
	if err != nil {
		return err
	}
	if d, ok := f.replica.Device(me.device); !ok || d.Role != entry.Owner || d.Stopped {
		return ErrOwner
	}
	return nil
}

// openInvites is the invites that are neither used nor ended, by this device's
// clock.
func (f *Farm) openInvites() (n int) {
	now := f.now().UnixMilli()
	f.read(func(s *farm.State) { n = s.OpenInvites(now) })
	return n
}

func member(v *farm.View, name string) (farm.Member, bool) {
	for _, m := range v.Crew {
		if m.Name == name && !m.Stopped {
			return m, true
		}
	}
	return farm.Member{}, false
}

func (f *Farm) invitation(person string, role entry.Role, expires time.Time, secret ed25519.PrivateKey) (string, error) {
	at, err := f.serverAddress()
	if err != nil {
		return "", err
	}
	at.Code = "" // who is invited founds nothing
	return Invitation{
		Server: at, Farm: f.ID(), FarmName: f.Founding().Name, Person: person, Role: role, Expires: expires, secret: secret,
	}.String(), nil
}
