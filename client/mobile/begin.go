package mobile

import (
	"time"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Found founds a farm on this device, which is the owner's from then on. The
// device name is what the crew calls it. The address is a server's founding
// address, empty for a farm without one; the time zone an IANA name, such as
// America/New_York, empty for UTC; units are us or metric, empty for us.
//
// It gives an answer.Founding. Its recovery is the farm's code on paper: show it
// to be written down, once, and keep it nowhere. Errors are has-farm, refused,
// address, pin and founding; a server that is away is none.
func (h *Home) Found(farmName, owner, deviceName, address, timeZone, unitSystem string) (string, error) {
	if err := h.opened(); err != nil {
		return "", err
	}
	o := client.FoundOptions{Farm: farmName, Owner: owner, DeviceName: deviceName, At: address, TimeZone: timeZone}
	if unitSystem != "" {
		s, err := units.ParseSystem(unitSystem)
		if err != nil {
			return "", refused("units", err)
		}
		o.Metric = s == units.Metric
	}
	if _, err := time.LoadLocation(timeZone); err != nil {
		return "", refused("time zone", err)
	}
	ctx, stop := h.network()
	defer stop()
	f, err := h.home.Found(ctx, o)
	if err != nil {
		return "", failed(err)
	}
	return text(answer.Founding{Founded: founded(f.Farm, owner, f.Away), Recovery: f.Paper})
}

func founded(f *client.Farm, person string, away error) answer.Founded {
	return answer.Founded{Farm: f.ID().String(), Device: f.Device().String(), Person: person, Away: report.IsAway(away)}
}

// Join takes up an invite, as its text or its QR code has it. It gives an
// answer.Joined. Where it was not admitted yet, what is recorded here counts from
// when an owner's device or the server has let this one in. Errors are has-farm,
// refused, address, pin and invite; a server that is away is none.
func (h *Home) Join(invite, deviceName string) (string, error) {
	if err := h.opened(); err != nil {
		return "", err
	}
	if err := safetext.Check(deviceName); err != nil {
		return "", failed(err)
	}
	ctx, stop := h.network()
	defer stop()
	j, err := h.home.Join(ctx, invite, deviceName)
	if err != nil {
		return "", failed(err)
	}
	return text(answer.Joined{Founded: founded(j.Farm, j.Person, j.Away), Admitted: !j.Waits})
}

// Invite offers a person a place for one device, for a day. The role is owner,
// operator, helper or viewer. It gives an answer.Invited, whose text is a secret
// until it is used. Errors are no-farm, refused and owner; a server that is away
// is none: the device that joins finds the invite there after the next exchange.
func (h *Home) Invite(person, role string) (string, error) {
	as, ok := entry.ParseRole(role)
	if !ok {
		return "", refused("role", errNoRole)
	}
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	ctx, stop := h.network()
	defer stop()
	link, err := f.Invite(ctx, person, as)
	if err != nil {
		return "", failed(err)
	}
	in, err := client.ParseInvite(link)
	if err != nil {
		return "", failed(err)
	}
	var away error
	if f.Server() != "" {
		_, away = f.Sync(ctx)
	}
	return text(answer.Invited{Invite: link, Person: person, Role: role, Expires: in.Expires.UTC().Format(time.RFC3339), Away: report.IsAway(away)})
}
