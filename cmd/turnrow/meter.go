package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newMeterCommand(g *globals) *cobra.Command {
	c := task{
		use: "meter READING --ground NAME", short: "Record what the drill's counter shows, and where it was worked",
		long: `Record what the drill's counter shows, in its own unit (acres, hectares, or
turns of its shaft), and the piece of ground that was worked since the reading
before it. The counter is the one clock that all share: read it when a piece is
begun and ended, when a box is filled and when a dial is moved.

With --begin, it is where the counter stands when work begins, on the drill's
first day and whenever others had the drill: no acres follow from it. Without a
begin, nobody can say what was done up to the first reading.

With --from, the counter was set back, or rolled over, from that reading to this
one, and nothing was worked between.`,
		example: `  turnrow meter 123.4 --begin --ground bench
  turnrow meter 127.9 --ground bench
  turnrow meter 0 --from 999.9 --why "rolled over"`,
		args: exactly(1),
		flags: func(f *pflag.FlagSet) {
			f.String("ground", "", "piece of ground worked since the last reading; with --begin, that work begins on")
			f.Bool("begin", false, "the counter stands there as work begins: nothing was worked up to it")
			f.String("from", "", "the counter was set back from this reading")
			f.String("why", "", "why it was set back")
			f.String("note", "", "what else there is to say")
		},
		work: meter,
	}.command(g)
	g.completeFlags(c, map[string]names{"ground": groundNames})
	return c
}

func meter(k *call) error {
	reading, err := units.ParseReading(k.args[0])
	if err != nil {
		k.fail("%w", err)
	}
	from := k.Counter("from")
	begin := k.Yes("begin")
	switch {
	case begin && from.Set:
		k.fail("--begin says where work begins, --from that the counter was set back: give one")
	case !begin && !from.Set && !k.Has("ground"):
		k.fail("--ground is missing: which piece was worked since the last reading? Or is it where the counter stands as work begins: give --begin")
	case from.Set && k.Has("ground"):
		k.fail("--from says that nothing was worked, --ground that something was: give one")
	}
	if err := k.wrong(); err != nil {
		return err
	}
	d, err := k.theDrill()
	if err != nil {
		return err
	}
	if from.Set {
		return k.wrote(client.Reset{Drill: d.ID, From: from.Val, To: reading, Why: k.Text("why")})
	}
	if begin {
		return k.begins(d, reading)
	}
	ground, err := k.ground(k.Text("ground"))
	if err != nil {
		return err
	}
	return k.wrote(client.Read{Drill: d.ID, Reading: reading, Ground: ground.ID, Note: k.Text("note")})
}

// begins writes where the counter stands as work begins.
func (k *call) begins(d farm.Drill, reading units.Reading) error {
	b := client.Begin{Drill: d.ID, Reading: reading, Why: k.Text("why")}
	if b.Why == "" {
		b.Why = k.Text("note")
	}
	if name := k.Text("ground"); name != "" {
		g, err := k.ground(name)
		if err != nil {
			return err
		}
		b.Ground = g.ID
	}
	return k.wrote(b)
}
