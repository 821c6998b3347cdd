package page

import (
	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// stopForm stops a device, or a person with all devices. It shows first what
// goes with that.
type stopForm struct {
	client.StopPreview
	Reasons []string
	what    client.Stopping
	own     entry.ID
}

var stopReasons = []string{"lost", "stolen", "replaced", "over"}

func (f *stopForm) load(q *request) (err error) {
	f.Reasons, f.own = stopReasons, q.page.farm.Person()
	if q.Role() < entry.Owner {
		q.refuse("", texts.Text("stop.mayowner"))
		return nil
	}
	if f.what.Member = q.id("person"); f.what.Member.IsZero() {
		if f.what.Device, err = entry.ParseDevice(q.Val("device")); err != nil {
			return errNotThere
		}
	}
	if f.StopPreview, err = q.page.farm.StopPreview(f.what); err != nil {
		return errNotThere
	}
	return nil
}

// Name is what the form stops.
func (f *stopForm) Name() string { return f.Device.Name + f.Member.Name }

// Own is whose the device is that shows the page.
func (f *stopForm) Own() entry.ID { return f.own }

// Asks says that somebody else goes with it.
func (f *stopForm) Asks() bool { return len(f.Out)+len(f.Unseen) > 0 }

// Mine says whether the one who writes is the device's own person: a stop is
// hers alone.
func (q *request) Mine() bool { return q.Who.IsZero() || q.Who == q.page.farm.Person() }

// Whose is a device's name, and whose it is.
func (q *request) Whose(d farm.Device) string {
	if d.Person.IsZero() {
		return d.Name
	}
	return texts.Text("stop.whose", d.Name, q.View.NameOf(d.Person))
}

func (f *stopForm) bodies(q *request) []entry.Body {
	s := f.what
	if r := q.Val("reason"); r != "" {
		s.Why = texts.Text("stopreason." + r)
	}
	if why := q.Val("why"); why != "" {
		if s.Why != "" {
			s.Why += ": "
		}
		s.Why += why
	}
	if s.Why == "" {
		q.refuse("why", texts.Text("stop.why"))
	}
	p, err := q.page.farm.StopPreview(s)
	q.refuseErr("", err)
	switch {
	case q.Role() < entry.Owner:
		q.refuse("", texts.Text("stop.mayowner"))
	case !q.Mine():
		q.refuse("", texts.Text("stop.mine", q.View.NameOf(q.page.farm.Person())))
	case p.NoForce:
		q.refuse("", texts.Text("stop.elder", f.Name()))
	case p.NoOwner:
		q.refuse("", texts.Text("stop.last"))
	}
	s.Readmit, s.Unseen = q.Val("others") == "back", len(p.Unseen) > 0
	return p.Bodies(s)
}

func (f *stopForm) done() string { return "/crew" }
