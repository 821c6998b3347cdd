package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newStopCommand(g *globals) *cobra.Command {
	return task{
		use: "stop DEVICE --why T", short: "End a lost, stolen or replaced device",
		long: `End a lost, stolen or replaced device. What it wrote up to what is known here
counts; whatever comes from it later is kept apart, until an owner takes in its
facts with "turnrow take-in". With --since, it was in the wrong hands from that
entry on, and that is void too. DEVICE is its name, or its number as "turnrow
crew" shows it.

A stop has force on any device but that of an elder owner: of whoever made the
one who stops an owner, or the founding device. Only the code on paper ends the
founding device against its will (turnrow recover).

Whom the device let in by what is void now is out too. That is said before
anything is written; --bring-back lets those devices in again at once.`,
		example: `  turnrow stop "Cal's phone" --why "fell into the creek"
  turnrow stop "Ben's phone" --why stolen --since 0190c5e2-aaaa-7bbb-8ccc-123456789abc/41 --bring-back`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			stopFlags(f)
			f.String("since", "", "the first of its entries that no longer counts")
		},
		work: stop,
	}.command(g)
}

func stop(k *call) error {
	d, err := k.device()
	if err != nil {
		return err
	}
	b := &entry.DeviceStopped{Last: d.Last, Why: k.text("why")}
	if b.Last, err = k.lastToStand(d); err != nil {
		return err
	}
	what := d.Name + " is stopped"
	if err := k.lastOwner(entry.ID{}, d.ID, what); err != nil {
		return err
	}
	return k.stopping(d.ID, what, b)
}

// lastToStand is the last entry of a device that stands: the one before --since,
// or the last that is here.
func (k *call) lastToStand(d farm.Device) (entry.Mark, error) {
	if !k.has("since") {
		return d.Last, nil
	}
	id, err := k.entryNamed(k.text("since"))
	if err != nil {
		return entry.Mark{}, fmt.Errorf("--since: %w", err)
	}
	if id.Device != d.ID {
		return entry.Mark{}, fmt.Errorf("--since: %s is no entry of %s: turnrow log --device %q lists them", k.text("since"), d.Name, d.Name)
	}
	if id.Seq == 1 {
		return entry.Mark{Device: d.ID}, nil
	}
	last, ok := k.client.Held(d.ID, id.Seq-1)
	if !ok {
		return entry.Mark{}, fmt.Errorf("--since: what %s wrote before that is not here", d.Name)
	}
	return last, nil
}

// stopping writes what ends a device, or a person, once it is known what comes
// of it. Who would be put out besides is let in again, or asked about.
func (k *call) stopping(device entry.DeviceID, what string, b entry.Body) error {
	if k.ownRole() != entry.Owner {
		return client.ErrOwner
	}
	s, err := k.wouldStop(b)
	if err != nil {
		return err
	}
	if s.noForce {
		return fmt.Errorf("nothing was written: the stop has no force: %s", k.whoIsElder(device))
	}
	bodies := []entry.Body{b}
	if len(s.out) > 0 {
		back, err := k.bringsBack(what, s)
		if err != nil {
			return err
		}
		bodies = append(bodies, back...)
	}
	ids, err := k.recordAsOwner(bodies...)
	if err != nil {
		return err
	}
	return k.show(stopAnswer{ids[0].String(), s.void, s.names(k), len(bodies) > 1}, append(s.lines(k, len(bodies) > 1), k.tell(ids...)...))
}

type stopAnswer struct {
	Entry   string   `json:"entry"`
	Void    int      `json:"void"`    // entries that counted, and count no more
	PutOut  []string `json:"put_out"` // devices that the stop puts out besides
	Brought bool     `json:"brought_back"`
}

// stopped is what comes of a stop.
type stopped struct {
	noForce bool
	void    int           // entries that counted, and would not
	samples []string      // the first of them, in words
	out     []farm.Device // that belong, and would not
	unheard []entry.DeviceID
	persons map[entry.ID]string // of these, who would be no person either
}

// mostVoid is how many void entries are told one by one.
const mostVoid = 5

func (k *call) wouldStop(b entry.Body) (stopped, error) {
	s := stopped{persons: map[entry.ID]string{}}
	v, lines, written, err := k.client.Would(b)
	if err != nil {
		return s, err
	}
	s.noForce = written[0].LeftOut != ""
	for _, l := range lines {
		was, ok := k.client.Line(l.ID)
		if !ok || was.LeftOut != "" || l.LeftOut == "" {
			continue
		}
		if s.void++; s.void <= mostVoid {
			s.samples = append(s.samples, k.short(l.ID)+"  "+was.What)
		}
	}
	for i, d := range k.view.Devices {
		now := v.Devices[slices.IndexFunc(v.Devices, func(o farm.Device) bool { return o.ID == d.ID })]
		if !stands(d) || stands(now) || k.meant(b, d) {
			continue
		}
		s.out = append(s.out, k.view.Devices[i])
		if !slices.ContainsFunc(v.Crew, func(m farm.Member) bool { return m.ID == d.Person && m.Role != entry.NoRole }) {
			s.persons[d.Person] = k.view.NameOf(d.Person)
		}
	}
	s.unheard = k.unheard(b)
	return s, nil
}

func stands(d farm.Device) bool { return d.Joined && !d.Stopped }

// meant says whether a stop is of this very device, or of its person.
func (k *call) meant(b entry.Body, d farm.Device) bool {
	switch b := b.(type) {
	case *entry.DeviceStopped:
		return b.Last.Device == d.ID
	case *entry.MemberStopped:
		return b.Member == d.Person
	}
	return false
}

// unheard are devices that a stopped device let in, and of which nothing is here
// yet: their logs may come later, and would count.
func (k *call) unheard(b entry.Body) (list []entry.DeviceID) {
	for _, l := range k.client.Lines() {
		a, ok := l.Body.(*entry.Admitted)
		if !ok || l.LeftOut != "" || a.Refused {
			continue
		}
		by := farm.Device{ID: l.ID.Device}
		for _, d := range k.view.Devices {
			if d.ID == by.ID {
				by = d
			}
		}
		if _, here := k.client.Held(a.Device, 1); !here && k.meant(b, by) {
			list = append(list, a.Device)
		}
	}
	return list
}

// bringsBack is what lets in again whoever a stop would put out besides, where
// that is wanted, or asks.
func (k *call) bringsBack(what string, s stopped) ([]entry.Body, error) {
	q := question{Kind: "stop-puts-out", plain: true,
		What: fmt.Sprintf("%s, and with it %s, let in by what is void then", what, strings.Join(s.names(k), ", "))}
	let := func(word, text string) choiceOf {
		return choiceOf{Word: word, What: text, Answer: client.Answer{Kind: farm.DoubtKind(q.Kind), Choice: word}}
	}
	q.Readings = []choiceOf{let("bring-back", "stop it, and let them in again at once (--bring-back)"), let("out", "stop it, and they stay out")}
	switch {
	case k.flagged("bring-back") || k.answeredWith(q.Readings[0].Answer):
		return k.back(s), nil
	case k.yes || k.answeredWith(q.Readings[1].Answer):
		return nil, nil
	}
	instead := "--bring-back lets them in again at once"
	q.Instead = &instead
	return nil, asking{[]question{q}}
}

// back lets devices in again as what they were; a person who is none any more
// is made anew.
func (k *call) back(s stopped) (bodies []entry.Body) {
	for _, d := range s.out {
		first, ok := k.client.Held(d.ID, 1)
		if !ok {
			continue
		}
		if name := s.persons[d.Person]; name != "" {
			bodies = append(bodies, &entry.MemberAdded{Name: name, Role: d.Role})
		}
		bodies = append(bodies, &entry.Admitted{Device: d.ID, Hash: first.Hash, Person: d.Person, Role: d.Role})
	}
	return bodies
}

func (s *stopped) names(k *call) []string {
	list := []string{}
	for _, d := range s.out {
		list = append(list, fmt.Sprintf("%s (%s's)", d.Name, k.view.NameOf(d.Person)))
	}
	return list
}

// lines say what came of a stop.
func (s *stopped) lines(k *call, back bool) (lines []string) {
	if s.void > 0 {
		lines = append(lines, "Void with it: "+counted(s.void, "entry")+":")
		lines = append(lines, s.samples...)
		if more := s.void - len(s.samples); more > 0 {
			lines = append(lines, fmt.Sprintf("and %d more (turnrow log)", more))
		}
	}
	names := strings.Join(s.names(k), ", ")
	switch {
	case names != "" && back:
		lines = append(lines, "Let in again: "+names+".")
	case names != "":
		lines = append(lines, "Out with it: "+names+". turnrow crew admit DEVICE lets one in again.")
	}
	for _, id := range s.unheard {
		lines = append(lines, fmt.Sprintf("It had let in a device of which nothing is here yet (%s): if nobody knows whose that is, look at turnrow crew after the next exchange, and stop it too.", id))
	}
	return lines
}

// whoIsElder says why what this device says of another has no force.
func (k *call) whoIsElder(device entry.DeviceID) string {
	for _, d := range k.view.Devices {
		if d.ID == device {
			return fmt.Sprintf("%s is %s's, an elder owner's device. Only a device that is its elder ends it, or the code on paper: turnrow recover", d.Name, k.view.NameOf(d.Person))
		}
	}
	return "somebody of an elder owner stands against it"
}
