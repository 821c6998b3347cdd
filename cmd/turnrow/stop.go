package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newStopCommand(g *globals) *cobra.Command {
	return task{
		use: "stop DEVICE --why T", short: "End a lost, stolen or replaced device",
		long: `End a lost, stolen or replaced device. What it wrote up to what is known here
counts; whatever comes from it later is kept apart, until an owner takes in its
facts with "turnrow take-in". With --since, it was in the wrong hands from that
note on, and that is void too. DEVICE is its name, or its number as "turnrow
crew" shows it.

A stop has force on any device but that of an elder owner: of whoever made the
one who stops an owner, or the founding device. Only the code on paper ends the
founding device against its will (turnrow recover).

Whom the device let in by what is void now is out too. That is said before
anything is written; --bring-back lets those devices in again at once.`,
		example: `  turnrow stop "Cal's phone" --why "fell into the creek"
  turnrow stop "Ben's phone" --why stolen --since 0190c5e2-aaaa-7bbb-8ccc-123456789abc/41 --bring-back`,
		args: exactly(1), completes: deviceNames,
		flags: func(f *pflag.FlagSet) {
			f.String("why", "", "why")
			f.Bool("bring-back", false, "let in again whoever would be put out besides")
			f.String("since", "", "the first of its notes that no longer counts")
		},
		work: stop,
	}.command(g)
}

func stop(k *call) error {
	d, err := k.device()
	if err != nil {
		return err
	}
	s := client.Stopping{Device: d.ID, Why: k.Text("why"), Readmit: k.Yes("bring-back")}
	if s.Since, err = k.since1(d); err != nil {
		return err
	}
	return k.stop(s)
}

// stop stops a device or a person, once whoever looks on knows what goes with
// it.
func (k *call) stop(s client.Stopping) error {
	if k.as != "" {
		return wrongCall{errors.New("--as: a stop is the word of this device's own person")}
	}
	if k.ownRole() != entry.Owner {
		return client.ErrOwner
	}
	p, err := k.farm.StopPreview(s)
	if err != nil {
		return err
	}
	if p.NoForce {
		return errors.New("nothing was written: the stop has no force: " + k.whoIsElder(elderOf(p)))
	}
	what := p.Device.Name + p.Member.Name + " is stopped"
	if err := k.lastOwner(p.NoOwner, what); err != nil {
		return err
	}
	if err := k.bringsBack(what, p, &s); err != nil {
		return err
	}
	if p, err = k.farm.Stop(k.cmd.Context(), s); err != nil {
		return k.whereObeyed(err)
	}
	a := answer.Stopped{Entry: p.Entries[0].String(), Ended: k.owned(p.Ends), Void: len(p.Void), PutOut: k.owned(p.Out), BroughtBack: s.Readmit && len(p.Out) > 0}
	return k.show(a, append(k.stopLines(p, s), k.tell(p.Entries...)...))
}

// elderOf is the device on which a stop has no force.
func elderOf(p client.StopPreview) entry.DeviceID {
	if len(p.Stays) > 0 {
		return p.Stays[0].ID
	}
	return p.Device.ID
}

// since1 is the number of the first entry of a device that no longer counts, as
// --since names it; 0 where all stands.
func (k *call) since1(d farm.Device) (uint64, error) {
	if !k.Has("since") {
		return 0, nil
	}
	id, err := k.entryNamed(k.Text("since"))
	if err != nil {
		return 0, fmt.Errorf("--since: %w", err)
	}
	if id.Log != d.ID.Log() {
		return 0, fmt.Errorf("--since: %s is no note of %s: turnrow log shows which are", k.Text("since"), d.Name)
	}
	return id.Seq, nil
}

// bringsBack settles what becomes of those whom a stop would put out besides,
// or asks.
func (k *call) bringsBack(what string, p client.StopPreview, s *client.Stopping) error {
	out := k.owned(p.Out)
	if len(p.Unseen) > 0 {
		out = append(out, counted(len(p.Unseen), "device")+" that it let in and of which nothing is here yet")
	}
	q := question{plain: true, Question: answer.Question{Kind: "stop-puts-out", What: what + ", and with it goes " + strings.Join(out, ", ")}}
	let := func(word, text string) answer.Choose {
		return answer.Choose{Word: word, What: text, Answer: client.Answer{Kind: q.Kind, Choice: word}}
	}
	q.Choices = []answer.Choose{
		let("bring-back", "stop it, and let in again at once whoever goes with it (--bring-back)"),
		let("out", "stop it, and they stay out"),
	}
	back, stays := k.answeredWith(q.Choices[0].Answer), k.answeredWith(q.Choices[1].Answer)
	switch {
	case len(out) == 0 || s.Readmit:
	case back:
		s.Readmit = true
	case k.yes || stays:
	default:
		instead := "--bring-back lets in again at once whoever goes with it"
		q.Instead = &instead
		return asking{[]question{q}}
	}
	s.Unseen = len(p.Unseen) > 0
	return nil
}

// owned names devices, each with whose it is.
func (k *call) owned(ds []farm.Device) []string {
	list := []string{}
	for _, d := range ds {
		name := orDevice(d.Name)
		if !d.Person.IsZero() {
			name += " (" + k.view().NameOf(d.Person) + "'s)"
		}
		list = append(list, name)
	}
	return list
}

func namesOf(ds []farm.Device) (list []string) {
	for _, d := range ds {
		list = append(list, orDevice(d.Name))
	}
	return list
}

// mostVoid is how many void entries are told one by one.
const mostVoid = 5

// stopLines say what came of a stop.
func (k *call) stopLines(p client.StopPreview, s client.Stopping) (lines []string) {
	if n := len(p.Void); n > 0 {
		lines = append(lines, "Void with it: "+counted(n, "note")+".")
		for _, l := range p.Void[:min(n, mostVoid)] {
			lines = append(lines, "  "+k.short(l.ID)+"  "+l.What)
		}
		if n > mostVoid {
			lines = append(lines, fmt.Sprintf("  and %d more (turnrow log)", n-mostVoid))
		}
	}
	if len(p.Ends) > 0 {
		lines = append(lines, "Stopped with "+p.Member.Name+": "+strings.Join(namesOf(p.Ends), ", ")+".")
	}
	if len(p.Stays) > 0 {
		lines = append(lines, "Not stopped, as it stands above this device: "+strings.Join(namesOf(p.Stays), ", ")+". The code on paper ends it: turnrow recover.")
	}
	names := strings.Join(k.owned(p.Out), ", ")
	switch {
	case names != "" && s.Readmit:
		lines = append(lines, "Let in again: "+names+".")
	case names != "":
		lines = append(lines, "Out with it: "+names+". turnrow crew admit DEVICE lets one in again.")
	}
	if n := len(p.Unseen); n > 0 {
		lines = append(lines, "Stopped with it: "+counted(n, "device")+" that it let in and of which nothing is here yet.")
	}
	return lines
}

// whoIsElder says why what this device says of another has no force.
func (k *call) whoIsElder(device entry.DeviceID) string {
	for _, d := range k.devices() {
		if d.ID == device {
			return fmt.Sprintf("%s is %s's, an elder owner's device. Only a device that is its elder ends it, or the code on paper: turnrow recover", d.Name, k.view().NameOf(d.Person))
		}
	}
	return "somebody of an elder owner stands against it"
}
