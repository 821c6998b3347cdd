package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newSettleCommand(g *globals) *cobra.Command {
	return task{
		use: "settle DOUBT --stands CHOICE [--value N] --why T", short: "Settle a doubt: say which stands, and why",
		long: `Settle a doubt that "turnrow doubts" lists. CHOICE is one of its choices. Two
settings of one dial are settled by going to the drill and reading it: CHOICE is
then what the dial shows. Where the counter began is settled by saying what it
showed then (began-at, with --value). Two seeds in one box are mixed (blended) or
lie one above the other (layered). What is unlikely is settled as it is
written (as-written), or by what was meant instead (instead), which amends the
entry. DOUBT is its number, or its kind where only one of that kind is open.`,
		example: `  turnrow settle 3f2a9c11 --stands 42 --why "read it on the drill"
  turnrow settle counter-begin --stands began-at --value 212.6 --why "by the photo"
  turnrow settle double-entry --stands both --why "two bags, two people"
  turnrow settle unlikely-catch --stands instead --why "read the scale again"`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("stands", "", "the choice that stands; for a dial, what it shows")
			f.String("value", "", "the figure that goes with the choice, such as what the counter showed")
			f.String("why", "", "how you know")
		},
		work: settle,
	}.command(g)
}

func settle(k *call) error {
	k.need("stands", "why")
	if err := k.wrong(); err != nil {
		return err
	}
	d, err := k.doubt(k.args[0])
	if err != nil {
		return err
	}
	bodies, err := k.settling(d)
	if err != nil {
		return wrongCall{err}
	}
	who, err := k.person()
	if err != nil {
		return err
	}
	ids, err := k.client.Record(k.cmd.Context(), who, bodies...)
	if err != nil {
		return err
	}
	return k.claimed(ids, claim{"NOT SETTLED", "the settlement does not count", "settle it"}, k.tell(ids...))
}

// settling is what to write to settle a doubt as the call says.
func (k *call) settling(d farm.Doubt) ([]entry.Body, error) {
	if d.Kind == farm.TwoSettings {
		b := &entry.Settled{Doubt: string(d.Kind), Entries: d.Entries, Why: k.text("why")}
		return []entry.Body{b}, k.standsDial(b, d)
	}
	c, err := k.standsChoice(d)
	return d.Settling(c, k.text("why")), err
}

// doubt finds a doubt by its ID, or by as much of it as tells it apart, or by
// its kind where only one of that kind is open.
func (k *call) doubt(text string) (farm.Doubt, error) {
	var found []farm.Doubt
	var known []string
	for d := range k.view.Doubts() {
		known = append(known, d.ID())
		if strings.HasPrefix(d.ID(), strings.ToLower(text)) && text != "" || string(d.Kind) == text && !d.Settled {
			found = append(found, d)
		}
	}
	switch len(found) {
	case 0:
		return farm.Doubt{}, unknown("doubt", "doubts", text, known)
	case 1:
		return found[0], nil
	}
	return farm.Doubt{}, fmt.Errorf("%q means %d doubts: give the number of one, as turnrow doubts shows it", text, len(found))
}

// standsDial settles where a dial stands by what a person read on it.
func (k *call) standsDial(b *entry.Settled, d farm.Doubt) error {
	var box farm.Box
	var side int64
	for _, id := range d.Entries {
		l, err := k.line(id)
		if err != nil {
			return err
		}
		if m, ok := l.Body.(*entry.DialMoved); ok {
			box, _ = k.view.BoxOf(m.Box)
			side = m.Side
		}
	}
	dial, err := box.ReadDial(side, k.text("stands"))
	if err != nil {
		return fmt.Errorf("--stands: go to the drill and read the dial: %w", err)
	}
	b.Dial = entry.Some(dial)
	return nil
}

func (k *call) standsChoice(d farm.Doubt) (farm.Choice, error) {
	var words []string
	for _, c := range d.Choices {
		if strings.EqualFold(c.Word, k.text("stands")) {
			return k.standsAt(c, d)
		}
		words = append(words, c.Word+" ("+c.What+")")
	}
	return farm.Choice{}, fmt.Errorf("--stands: %q is no choice of this doubt; choices: %s", k.text("stands"), strings.Join(words, "; "))
}

// standsAt takes the figure that goes with a choice, where one does.
func (k *call) standsAt(c farm.Choice, d farm.Doubt) (farm.Choice, error) {
	if c.Say != entry.BeganAt {
		if k.has("value") {
			return c, fmt.Errorf("--value: the choice %s of this doubt wants no figure", c.Word)
		}
		return c, nil
	}
	if !k.has("value") {
		return c, errors.New("--value is missing: what did the counter show when work began?")
	}
	at, err := units.ParseReading(k.text("value"))
	if err != nil {
		return c, fmt.Errorf("--value: %w", err)
	}
	l, err := k.line(d.Entries[0])
	if err != nil {
		return c, err
	}
	if read, ok := l.Now.(*entry.MeterRead); ok && at > read.Reading {
		return c, fmt.Errorf("--value: %v is more than the reading that is in doubt, %v: give what the counter showed before", at, read.Reading)
	}
	c.Value = entry.Some(int64(at))
	return c, nil
}
