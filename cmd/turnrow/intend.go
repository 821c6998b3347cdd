package main

import (
	"errors"
	"fmt"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/entry"
)

// do writes what intents say, for whoever acts. What is wrong with one is said
// in the words of the command line.
func (k *call) do(intents ...client.Intent) ([]entry.ID, error) {
	who, err := k.person()
	if err != nil {
		return nil, err
	}
	ids, err := k.ask(who, k.farm.Intend(intents...))
	return ids, k.inWords(err)
}

// wrote writes what an intent says, and tells of its first entry.
func (k *call) wrote(in client.Intent) error {
	ids, err := k.do(in)
	if err != nil {
		return err
	}
	return k.show(answer.Written{Entry: ids[0].String()}, k.tell(ids...))
}

// inWords says what is wrong with an intent, and what to do about it. What the
// caller can mend by another flag is a wrong call.
func (k *call) inWords(err error) error {
	var all client.Refused
	if !errors.As(err, &all) {
		return err
	}
	r := all[0]
	if say, ok := refusals[r.Why]; ok {
		return say(k, &r)
	}
	if r.Err != nil {
		return wrongCall{r.Err}
	}
	return wrongCall{fmt.Errorf("--%s: %s", r.Field, r.Why)}
}

// refusals say what the command line has words of its own for.
var refusals = map[client.Wrong]func(*call, *client.Refusal) error{
	client.BagUnknown: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("what a bag of %s weighs is not known: set bag of the lot, or give --mass", r.Name)
	},
	client.MeasureUnknown: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("what a measure of %s weighs is not known (%w): weigh one with turnrow weigh %s --volume \"1 cup\" --mass M, or give --mass", r.Name, r.Err, r.Name)
	},
	client.SideNeeded: func(_ *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("box %s has a dial for each compartment: say which with --side", r.Name)}
	},
	client.OneDialOnly: func(_ *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("--side: box %s has one dial for all of it: leave --side out", r.Name)}
	},
	client.RollUnknown: func(_ *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("how far the wheel rolls is not known: set wheel_roll of drill %s, or give --distance", r.Name)}
	},
	client.SpacingUnknown: func(_ *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("the row spacing is not known: set spacing of drill %s", r.Name)}
	},
	client.CounterUnknown: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("what the counter of drill %s counts is not known: set counter: acres, counter: hectares or counter_turns_per_acre", r.Name)
	},
	client.NoChecks: func(*call, *client.Refusal) error {
		return errors.New("no list of checks is set yet: turnrow set FILE sets it, under the key checks")
	},
	client.NoHold: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("no hold is open%s, as far as this device knows: turnrow hitch show says what is open", onDrill(r.Name))
	},
	client.StrangersHold: func(k *call, r *client.Refusal) error {
		return fmt.Errorf("the hold%s is of %s, which waits to be let in: an owner lets it in or refuses it first (turnrow crew)", onDrill(r.Name), k.deviceNamed(r.Entry.Log.Device()))
	},
	client.NoSuchHold: func(k *call, r *client.Refusal) error {
		return fmt.Errorf("%s is no open hold%s: turnrow hitch show lists them", k.short(r.Entry), onDrill(r.Name))
	},
	client.NoSuchDay: func(_ *call, r *client.Refusal) error {
		var out *entry.RangeError
		if !errors.As(r.Err, &out) {
			return wrongCall{r.Err}
		}
		return wrongCall{fmt.Errorf("--%s %s: must be %s", r.Field, out.Value, out.Want)}
	},
	client.NotOwner: func(*call, *client.Refusal) error { return client.ErrOwner },
	client.NothingOfIt: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("nothing of %s is here yet: turnrow sync", r.Name)
	},
	client.NobodyMeant: func(*call, *client.Refusal) error {
		return wrongCall{errors.New("--person is missing: the device asks on no invite that is here, so nobody knows whose it is")}
	},
	client.PersonStopped: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("%s was stopped: turnrow crew role %[1]s ROLE takes %[1]s into the crew again", r.Name)
	},
	client.AboveRole: func(k *call, r *client.Refusal) error {
		m, err := meant(k.find().Person(r.Name))
		if err != nil {
			return err
		}
		return fmt.Errorf("%s is %s: the device may do that or less (turnrow crew role changes it)", m.Name, a(m.Role.String()))
	},
	client.NotStopped: func(_ *call, r *client.Refusal) error {
		return fmt.Errorf("device %s is not stopped", r.Name)
	},
	client.Gone: func(k *call, r *client.Refusal) error {
		return fmt.Errorf("%s stands for nothing any more (%s): write it again instead", k.short(r.Entry), r.Name)
	},
	client.NotAmended: func(k *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("%s (%s) is not amended: strike it, or set it again", k.short(r.Entry), r.Name)}
	},
	client.NothingNew: func(k *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("%s would stay as it is: %s", k.short(r.Entry), r.Name)}
	},
	client.NotStruck: func(k *call, r *client.Refusal) error {
		return fmt.Errorf("%s (%s) cannot be struck: what keeps people safe, and who belongs to the farm, is ended by a note of its own", k.short(r.Entry), r.Name)
	},
	client.AboveReading: func(k *call, r *client.Refusal) error {
		return wrongCall{fmt.Errorf("--value: %s is more than the reading that is in doubt, %s: give what the counter showed before", k.Text("value"), r.Name)}
	},
}

// onDrill names the drill of a hold, where one was named.
func onDrill(name string) string {
	if name == "" {
		return ""
	}
	return " on " + name
}
