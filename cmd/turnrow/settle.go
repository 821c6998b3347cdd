package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/words"
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
note. DOUBT is its number, or its kind where only one of that kind is open.`,
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
	s, err := k.settling(d)
	if err != nil {
		return wrongCall{err}
	}
	who, err := k.person()
	if err != nil {
		return err
	}
	ids, err := k.farm.RecordWith(k.cmd.Context(), who, k.farm.Intend(s))
	if err != nil {
		return k.inWords(err)
	}
	return k.claimed(ids, claim{"NOT SETTLED", "the settlement does not count", "settle it"}, k.tell(ids...))
}

// settling is what to write to settle a doubt as the call says.
func (k *call) settling(d words.Doubt) (s client.Settle, err error) {
	s = client.Settle{Doubt: d.ID(), Why: k.Text("why")}
	if d.Kind == farm.TwoSettings {
		s.Dial, err = k.standsDial(d)
		return s, err
	}
	c, err := k.standsChoice(d)
	if err != nil {
		return s, err
	}
	s.Choice = c.Word
	s.Began, err = k.standsAt(c)
	return s, err
}

// standsDial settles where a dial stands by what a person read on it.
func (k *call) standsDial(d words.Doubt) (at entry.Opt[units.Dial], err error) {
	var box farm.Box
	var side int64
	for _, id := range d.Entries {
		l, err := k.line(id)
		if err != nil {
			return at, err
		}
		if m, ok := l.Body.(*entry.DialMoved); ok {
			box, _ = k.view().BoxOf(m.Box)
			side = m.Side
		}
	}
	dial, err := box.ReadDial(side, k.Text("stands"))
	if err != nil {
		return at, fmt.Errorf("--stands: go to the drill and read the dial: %w", err)
	}
	return entry.Some(dial), nil
}

func (k *call) standsChoice(d words.Doubt) (words.Choice, error) {
	var names []string
	for _, c := range d.Choices {
		if strings.EqualFold(c.Word, k.Text("stands")) {
			return c, nil
		}
		names = append(names, c.Word+" ("+c.What+")")
	}
	return words.Choice{}, fmt.Errorf("--stands: %q is no choice of this doubt; choices: %s", k.Text("stands"), strings.Join(names, "; "))
}

// standsAt is the figure that goes with a choice, where one does.
func (k *call) standsAt(c words.Choice) (at entry.Opt[units.Reading], err error) {
	switch {
	case c.Say != entry.BeganAt && k.Has("value"):
		return at, fmt.Errorf("--value: the choice %s of this doubt wants no figure", c.Word)
	case c.Say != entry.BeganAt:
		return at, nil
	case !k.Has("value"):
		return at, errors.New("--value is missing: what did the counter show when work began?")
	}
	r, err := units.ParseReading(k.Text("value"))
	if err != nil {
		return at, fmt.Errorf("--value: %w", err)
	}
	return entry.Some(r), nil
}
