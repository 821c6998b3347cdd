package main

import (
	"errors"
	"fmt"
	"slices"

	"turnrow/client"
	"turnrow/client/report"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
)

// own is this device as the record here shows it.
func (k *call) own() farm.Device { return k.farm.Own() }

// stopped says whether this device was stopped, as far as is known here.
func (k *call) stopped() bool { return k.own().Stopped }

// waits says whether this device itself waits to be let in.
func (k *call) waits() bool { return report.Waits(k.own()) }

// countsLater is what a device that waits says of what it writes.
func (k *call) countsLater() string {
	return "What this device writes is kept here, and counts when " + k.whoLetsIn() + " has let it in."
}

// whoLetsIn is who can let this device in: a farm without a server has no
// porter.
func (k *call) whoLetsIn() string {
	if k.farm.Server() == "" {
		return "an owner's device"
	}
	return "an owner's device or the server"
}

// standing says why what this device writes does not count, or why it writes
// nothing, and what to do; nothing where it belongs to the crew.
func (k *call) standing() []string {
	d := k.own()
	switch {
	case k.farm.Copied():
		return []string{"This device writes nothing: it is a copy, or a copy of it writes under the same name. All that is here stays.",
			"An owner gives it a new invite (turnrow invite); turnrow join INVITE takes it up here. " + noOwnerLeft + "."}
	case d.Stopped:
		return []string{"This device was stopped" + k.stoppedBy() + ". What it writes from then on is kept apart.",
			fmt.Sprintf("Where that is a mistake, an owner lets it in again, on an owner's device: turnrow crew admit %q.", d.Name),
			"Where an owner's device in the wrong hands did it, the code on paper puts this one above all others: turnrow recover CODE."}
	case d.Refused:
		return []string{fmt.Sprintf("An owner keeps this device out: nothing that it writes counts. Where that is a mistake, an owner lets it in all the same: turnrow crew admit %q.", d.Name)}
	case k.waits():
		return []string{"This device waits to be let in: " + k.whoLetsIn() + " does that when the two meet (turnrow sync).",
			fmt.Sprintf("Where it still waits after that, its invite was used already, or has run out: an owner says turnrow crew admit %q, on an owner's device, or gives a new invite.", d.Name)}
	}
	return nil
}

// stoppedBy says who stopped this device, where, when and why, as far as it is
// known here.
func (k *call) stoppedBy() string {
	lines := k.farm.Lines()
	for i := len(lines) - 1; i >= 0; i-- {
		if l := lines[i]; l.LeftOut == "" && k.stopsThis(l.Body) {
			by := " by " + l.By + " on " + l.Device + ", " + k.clock(l.Wall)
			if why := whyStopped(l.Body); why != "" {
				by += " (" + why + ")"
			}
			return by
		}
	}
	return ""
}

// stopsThis says whether an entry stops this device, or its person.
func (k *call) stopsThis(b entry.Body) bool {
	switch b := b.(type) {
	case *entry.DeviceStopped:
		return b.Last.Log == k.farm.Device().Log()
	case *entry.MemberStopped:
		return b.Member == k.farm.Person()
	case *entry.Recovered:
		return slices.ContainsFunc(b.Stops, func(m entry.Mark) bool { return m.Log == k.farm.Device().Log() })
	}
	return false
}

func whyStopped(b entry.Body) string {
	switch b := b.(type) {
	case *entry.DeviceStopped:
		return b.Why
	case *entry.MemberStopped:
		return b.Why
	}
	return ""
}

// askWhereStopped says of what a device may not do that it was stopped, where
// that is why.
func (k *call) askWhereStopped(err error) error {
	if errors.Is(err, client.ErrOwner) && k.stopped() {
		return errors.New("nothing was written: this device was stopped: turnrow status says by whom, and what to do")
	}
	return err
}

// refused says what either side did not take, and what that means.
func (k *call) refused(list []exchange.Refusal) (texts, lines []string) {
	texts = []string{}
	if len(list) > 0 {
		k.lookAnew()
	}
	for i := range list {
		text := k.refusal(&list[i])
		if errors.Is(list[i].Err, exchange.ErrBudget) {
			text = k.deviceNamed(list[i].Device) + ": " + text
		}
		texts, lines = append(texts, text), append(lines, "refused: "+text)
	}
	return texts, lines
}

// notTaken says of an exchange that ended early what the other side did not
// take, in words.
func (k *call) notTaken(err error) error {
	var r *exchange.Refusal
	if errors.As(err, &r) {
		return fmt.Errorf("%s: not taken there from note %d on: %s", k.deviceNamed(r.Device), r.First, k.refusal(r))
	}
	return err
}

// refusal is one refusal as people read it.
func (k *call) refusal(r *exchange.Refusal) string {
	var fork *chain.ForkError
	if errors.As(r.Err, &fork) {
		return fmt.Sprintf("%s wrote two notes with number %d: it was copied, and turnrow doubts shows both", k.deviceNamed(fork.Device), fork.Seq)
	}
	return r.Error()
}
