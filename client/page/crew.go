package page

import (
	"fmt"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// crewPage is who belongs to the farm, with which devices, and who waits to be
// let in.
type crewPage struct {
	Crew    []crewMember
	Porters []farm.Device
	Waiting []waiting
	Refused []farm.Device
}

type crewMember struct {
	farm.Member
	Devices []farm.Device
	Stops   []farm.Device // that can be stopped here: all but this one
	Again   []farm.Device // that were stopped, and can be let in again
	Own     bool          // whose device this is
}

// waiting is a device that waits to be let in, and on what ground.
type waiting struct {
	farm.Device
	For   farm.Member // whom its invite names; none where it asks on none that is here
	On    string
	Count int  // of its entries
	Late  bool // its invite has ended, or was used: no device lets it in by itself
}

func crewView(q *request) (any, error) {
	v := crewPage{Waiting: q.waiting()}
	for _, m := range q.View.Crew {
		c := crewMember{Member: m, Own: m.ID == q.page.farm.Person()}
		for _, d := range q.View.Devices {
			if d.Person == m.ID && d.Joined && !d.Porter {
				c.add(d, q.page.farm.Device())
			}
		}
		v.Crew = append(v.Crew, c)
	}
	for _, d := range q.View.Devices {
		if d.Porter {
			v.Porters = append(v.Porters, d)
		} else if d.Refused {
			v.Refused = append(v.Refused, d)
		}
	}
	return v, nil
}

// add adds a device, and what an owner on the device own can do about it.
func (c *crewMember) add(d farm.Device, own entry.DeviceID) {
	c.Devices = append(c.Devices, d)
	switch {
	case d.Stopped && !c.Stopped:
		c.Again = append(c.Again, d)
	case !d.Stopped && d.ID != own:
		c.Stops = append(c.Stops, d)
	}
}

// waiting are the devices that wait to be let in.
func (q *request) waiting() (list []waiting) {
	for _, a := range q.page.farm.Asking() {
		w := waiting{Device: farm.Device{ID: a.Device(), Name: a.Name, Entries: uint64(a.Entries)}, Count: a.Entries}
		inv := a.Invite
		if inv.ID.IsZero() {
			w.On, w.Late = texts.Text("crew.on.none"), true
		} else {
			by, _ := q.page.farm.Line(inv.ID)
			w.For = q.member(inv.Person)
			w.On = texts.Text("crew.on", by.By, w.For.Name)
			w.Late = !inv.Used.IsZero() || q.now().UnixMilli() > inv.Expires
		}
		list = append(list, w)
	}
	return list
}

func (q *request) member(id entry.ID) farm.Member {
	for _, m := range q.View.Crew {
		if m.ID == id {
			return m
		}
	}
	return farm.Member{}
}

// Strangers is how many devices wait to be let in, for whoever lets them in.
func (q *request) Strangers() int {
	if q.Waits() || q.Role() < entry.Owner {
		return 0
	}
	return len(q.page.farm.Asking())
}

// Waits says whether this device itself waits to be let in.
func (q *request) Waits() bool {
	d, ok := q.deviceOf(q.page.farm.Device())
	return ok && !d.Joined && !d.Stopped && !d.Refused
}

// Stopped says whether this device was stopped.
func (q *request) Stopped() bool {
	d, _ := q.deviceOf(q.page.farm.Device())
	return d.Stopped
}

// Copied says whether this device writes nothing, as a copy of it does.
func (q *request) Copied() bool { return q.page.farm.Copied() }

// DeviceName is what the crew calls the device of an entry.
func (q *request) DeviceName(id entry.ID) string {
	if d, ok := q.deviceOf(id.Log.Device()); ok && d.Name != "" {
		return d.Name
	}
	return id.Short()
}

func (q *request) deviceOf(id entry.DeviceID) (farm.Device, bool) {
	for _, d := range q.View.Devices {
		if d.ID == id {
			return d, true
		}
	}
	return farm.Device{}, false
}

// atTheDoor is a button that says of a device that waits whether it comes in.
type atTheDoor struct {
	who waiting
	in  bool
}

func (b *atTheDoor) load(q *request) error {
	for _, w := range q.waiting() {
		if w.ID.String() == q.Val("device") {
			b.who = w
			if _, ok := q.page.farm.Held(w.ID, 1); ok {
				return nil
			}
		}
	}
	for _, d := range q.View.Devices { // one that was stopped is let in again
		_, ok := q.page.farm.Held(d.ID, 1)
		if b.in && ok && d.Stopped && d.ID.String() == q.Val("device") {
			b.who = waiting{Device: d, For: q.member(d.Person)}
			return nil
		}
	}
	return errNotThere
}

func (b *atTheDoor) bodies(q *request) []entry.Body {
	if q.Role() < entry.Owner {
		q.refuse("", texts.Text("crew.mayadmit"))
	}
	if !b.in {
		return q.intend(nil, client.KeepOut{Device: b.who.ID})
	}
	if m := b.who.For; m.ID.IsZero() || m.Stopped {
		q.refuse("", texts.Text("crew.whose", fmt.Sprintf("%q", b.who.Name)))
		return nil
	}
	return q.intend(nil, client.LetIn{Device: b.who.ID, Person: b.who.For.ID, Role: b.who.For.Role})
}

func (b *atTheDoor) done() string { return "/crew" }
