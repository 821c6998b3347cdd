package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newAdmitCommand(g *globals) *cobra.Command {
	return task{
		use: "admit PERSON|DEVICE", short: "Let in a device that waits, or again one that was stopped or refused",
		long: `Let in a device that waits to be let in: what it wrote counts from its first
note on. Whoever joins on an invite and in time is let in without this, by the
server or by an owner's device that meets theirs; this is for all others: a late
joiner, a second device on one invite, a device that was put out by mistake.
Look first whose it is. Only an owner may.`,
		example: `  turnrow crew admit "Ben's phone"
  turnrow crew admit "Ben's phone" --person Ben --role helper`,
		args: exactly(1), completes: namesOutside,
		flags: func(f *pflag.FlagSet) {
			f.String("person", "", "whose device it is (default: whom its invite names)")
			f.String("role", "", "what it may do: the person's role, or less (default: the person's role)")
		},
		work: admit,
	}.command(g)
}

func newRefuseCommand(g *globals) *cobra.Command {
	return task{
		use: "refuse PERSON|DEVICE", short: "Keep out a device that waits to be let in: what it wrote counts for nothing",
		example: `  turnrow crew refuse "phone of nobody we know"`,
		args:    exactly(1), completes: namesOutside, work: refuse,
	}.command(g)
}

// outsider is a device that an owner can let in.
type outsider struct {
	farm.Device
	person entry.ID // whose it is or asks to be
	asks   bool
}

func admit(k *call) error {
	o, err := k.outsider(k.args[0])
	if err != nil {
		return err
	}
	in, err := k.admitting(o)
	if err != nil {
		return err
	}
	ids, err := k.doAsOwner(in)
	if err != nil {
		return err
	}
	line, err := k.line(ids[len(ids)-1])
	if err != nil {
		return err
	}
	if line.LeftOut != "" {
		return fmt.Errorf("%s is not let in: %s", o.Name, k.whoIsElder(o.ID))
	}
	return k.show(answer.Written{Entry: line.ID.String()}, append([]string{o.Name + " is let in: what it wrote counts, from its first note on."}, k.tell(ids...)...))
}

// admitting is what lets a device in, with the person made first where the crew
// has none of that name.
func (k *call) admitting(o outsider) (in client.LetIn, err error) {
	role, ok := entry.ParseRole(k.Text("role"))
	if k.Has("role") && !ok {
		return in, wrongCall{fmt.Errorf("--role: %q is no role: owner, operator, helper or viewer is wanted", k.Text("role"))}
	}
	in = client.LetIn{Device: o.ID, Person: o.person, Role: role}
	if k.Has("person") {
		id, err := k.member(k.Text("person"))
		if err != nil && !k.Has("role") {
			return in, fmt.Errorf("%w; with --role it makes a new person", err)
		}
		if in.Person = id; err != nil {
			in.Name = k.Text("person")
		}
	}
	return in, nil
}

func refuse(k *call) error {
	o, err := k.outsider(k.args[0])
	if err != nil {
		return err
	}
	if !o.asks {
		return fmt.Errorf("%s does not wait to be let in", o.Name)
	}
	ids, err := k.doAsOwner(client.KeepOut{Device: o.ID})
	if err != nil {
		return err
	}
	return k.show(answer.Written{Entry: ids[0].String()}, append([]string{o.Name + " stays out: nothing that it wrote counts, and none of its holds stops work."}, k.tell(ids...)...))
}

// doAsOwner writes what only an owner, on an owner's device, can write.
func (k *call) doAsOwner(in client.Intent) ([]entry.ID, error) {
	if k.ownRole() != entry.Owner {
		return nil, client.ErrOwner
	}
	return k.do(in)
}

// ownRole is what this device may do, with who acts on it.
func (k *call) ownRole() entry.Role {
	role := entry.NoRole
	for _, d := range k.devices() {
		if d.ID == k.farm.Device() && d.Joined && !d.Stopped {
			role = d.Role
		}
	}
	if who, err := k.person(); err == nil && !who.IsZero() {
		role = min(role, k.roleOf(who))
	}
	return role
}

// outsider finds a device that does not belong now: by its number, its name, or
// the person that its invite names.
func (k *call) outsider(text string) (outsider, error) {
	if k.ownRole() != entry.Owner {
		return outsider{}, client.ErrOwner
	}
	var found []outsider
	var known []string
	asks := k.farm.Asking()
	for _, d := range k.devices() {
		o := outsider{Device: d, person: d.Person}
		i := slices.IndexFunc(asks, func(a farm.Asker) bool { return a.Device() == d.ID })
		if o.asks = i >= 0; o.asks {
			o.person = asks[i].Invite.Person
		}
		if !o.asks && !d.Refused && !d.Stopped {
			continue
		}
		known = append(known, d.Name)
		named := strings.EqualFold(d.Name, text) || o.asks && strings.EqualFold(k.view().NameOf(o.person), text)
		if d.ID.String() == text {
			return o, nil
		}
		if named {
			found = append(found, o)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return outsider{}, fmt.Errorf("more than one device is meant by %s: give its number, as turnrow crew shows it", text)
	case len(known) == 0:
		return outsider{}, errors.New("no device waits to be let in: turnrow crew shows all")
	}
	return outsider{}, fields.NoSuch("device", "devices", text, known)
}
