package main

import (
	"errors"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/report"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// task is a command on the device's store: how it is called, and what it does.
type task struct {
	use, short, long, example string
	args                      cobra.PositionalArgs // nil: none
	flags                     func(*pflag.FlagSet)
	completes                 names // names of these are offered for the arguments
	noFarm                    bool  // may be called in a home that is of no farm, or not there yet
	work                      func(k *call) error
}

// call is one call of a task. Its reading keeps what is wrong with the flags.
type call struct {
	*globals
	*reading
	args  []string
	home  *client.Home
	farm  *client.Farm  // nil until a command that founds or joins has done it
	seen  *farm.View    // as it was when the call first looked; nil before that
	known []farm.Device // likewise
}

func (t task) command(g *globals) *cobra.Command {
	c := &cobra.Command{Use: t.use, Short: t.short, Long: t.long, Example: t.example, Args: t.args}
	if c.Args == nil {
		c.Args = exactly(0)
	}
	if t.flags != nil {
		t.flags(c.Flags())
	}
	g.completeNames(c, t.completes)
	c.RunE = func(c *cobra.Command, args []string) error {
		return g.withHome(c.Context(), t.noFarm, func(h *client.Home) error {
			if t.noFarm {
				return t.work(g.call(c, args, h))
			}
			f, err := h.Farm()
			if errors.Is(err, client.ErrNoFarm) {
				return errNoFarm
			}
			if err != nil {
				return err
			}
			return t.on(f, g.call(c, args, h))
		})
	}
	return c
}

// on does a task on a farm. Without --units it prints in the farm's own.
func (t task) on(f *client.Farm, k *call) error {
	k.farm = f
	if !k.cmd.Flags().Changed("units") && f.Founding().Metric {
		k.globals.system, k.System = units.Metric, units.Metric
	}
	if _, err := k.person(); err != nil {
		return err
	}
	return k.askWhereStopped(t.work(k))
}

// call is what a task works with.
func (g *globals) call(c *cobra.Command, args []string, h *client.Home) *call {
	return &call{globals: g, reading: g.reading(c), args: args, home: h}
}

// view is the farm as it was when the call first looked. What needs none, such
// as a note, does not pay for one.
func (k *call) view() *farm.View {
	if k.seen == nil {
		k.seen = k.farm.View()
	}
	return k.seen
}

// devices are the farm's devices, likewise; they need no view.
func (k *call) devices() []farm.Device {
	if k.known == nil {
		k.known = k.farm.Devices()
	}
	return k.known
}

// lookAnew has the next look see the farm as it is by then.
func (k *call) lookAnew() { k.seen, k.known = nil, nil }

// units are those that the call prints in.
func (k *call) units() units.System { return k.System }

// report answers what programs ask.
func (k *call) report() report.Report {
	return report.Report{Farm: k.farm, View: k.view, System: k.System}
}

// wrong is what is wrong with the call's flags, if anything.
func (k *call) wrong() error {
	if k.reading.err != nil {
		return wrongCall{k.reading.err}
	}
	return nil
}

// person is who acts: --as, or zero for the device's own person.
func (k *call) person() (entry.ID, error) {
	if k.as == "" {
		return entry.ID{}, nil
	}
	return k.member(k.as)
}

func (k *call) member(name string) (entry.ID, error) {
	m, err := meant(k.find().Person(name))
	return m.ID, err
}

// zone is the farm's time zone; the device's own where the farm has none that
// is known here.
func (k *call) zone() *time.Location { return report.Zone(k.farm) }
