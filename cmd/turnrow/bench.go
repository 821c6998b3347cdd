package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"turnrow/cmd/turnrow/bench"
)

// newBenchCommand measures turnrow itself. It uses folders of its own and
// never touches the home.
func newBenchCommand(g *globals) *cobra.Command {
	o := bench.Options{Tell: func(format string, args ...any) { fmt.Fprintf(g.errs, format+"\n", args...) }}
	c := &cobra.Command{
		Use: "bench", Short: "Measure turnrow on this machine",
		Long: `Measure turnrow on this machine: real stores, gRPC and TLS on loopback, in
temporary folders; the home is not touched. The work is a day of notes, the
same each time, written apart by eight devices. Each figure is the median of
several runs. With growth, what depends on the number of entries is measured at
ten times as many too.

Times are only as good as the machine is quiet.`,
		Example: `  turnrow bench
  turnrow bench --n 1000 --runs 3 --only cold_sync,catch_up --json`,
		Args: exactly(0),
		RunE: func(c *cobra.Command, _ []string) error { return g.bench(c, o) },
	}
	f := c.Flags()
	f.IntVar(&o.N, "n", 10_000, "entries of the workload")
	f.IntVar(&o.Runs, "runs", 5, "runs of which the medians are taken")
	f.StringSliceVar(&o.Only, "only", nil, "measure only these, by key")
	f.BoolVar(&o.Grow, "growth", true, "measure at ten times as many entries too")
	f.IntVar(&o.Watchers, "watchers", 10_000, "devices that listen, in fan_out")
	f.IntVar(&o.Farms, "farms", 2_000, "farms on one server, in many_farms")
	f.IntVar(&o.Links, "links", 20, "slow links, in slow_link")
	c.AddCommand(&cobra.Command{
		Use: "part NAME DIR", Hidden: true, Args: exactly(2),
		Short: "Play a part of a measurement in a process of its own",
		RunE: func(c *cobra.Command, args []string) error {
			return bench.Child(c.Context(), args[0], args[1], c.InOrStdin(), g.out)
		},
	})
	return c
}

func (g *globals) bench(c *cobra.Command, o bench.Options) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	o.Self = []string{self, "bench", "part"}
	r, err := bench.Run(c.Context(), o)
	if err != nil {
		return err
	}
	lines := []string{fmt.Sprintf("%s, %s, %d processors, %s; medians of %d runs",
		r.Machine.Processor, r.Machine.System, r.Machine.Processors, r.Machine.Go, r.Runs)}
	return g.show(r, append(lines, table(r.Table())...))
}
