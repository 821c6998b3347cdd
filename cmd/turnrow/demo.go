package main

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/entry"
)

func newDemoCommand(g *globals) *cobra.Command {
	c := &cobra.Command{
		Use: "demo", Short: "Play a whole invented day: a server and three devices, apart and together", Args: exactly(0),
		Long: `Play a whole invented day on this machine: a server and three devices, each with
a store of its own, over real TLS and gRPC on loopback. They plan and set up at
the house, work for hours out of range of each other, and come together. Every
step is a command that is carried out as typed. With --dir the stores stay, to
look into with --home.`,
		Example: "  turnrow demo\n  turnrow demo --dir /tmp/windgap && turnrow --home /tmp/windgap/house doubts",
	}
	dir := c.Flags().String("dir", "", "folder to keep the stores in (default: one that is removed again)")
	_ = c.MarkFlagDirname("dir") // fails only for a flag that is not there
	c.RunE = func(c *cobra.Command, _ []string) error { return g.demo(c.Context(), *dir) }
	return c
}

func (g *globals) demo(ctx context.Context, dir string) (err error) {
	ctx, stop := interrupted(ctx)
	defer stop()
	if dir == "" {
		if dir, err = os.MkdirTemp("", "turnrow-demo-"); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	} else if entries, err := os.ReadDir(g.path(dir)); err == nil && len(entries) > 0 {
		return fmt.Errorf("%s is not empty: the demo wants a folder of its own", dir)
	}
	s, err := newStage(ctx, g.path(dir))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.close()) }()
	tell := func(line string) {
		if !g.json {
			fmt.Fprintln(g.out, line)
		}
	}
	tell(fmt.Sprintf("%s, %s. Everything here is invented.\nA server and three devices in %s, over TLS and gRPC at %s.",
		demoFarm, s.now.now().Format("Monday 2 January 2006"), dir, s.server.Addr()))
	if err := s.play(ctx, tell); err != nil {
		return err
	}
	return g.showDemo(s)
}

// showDemo shows what the house knows at the end of the day, and that all know
// the same.
func (g *globals) showDemo(s *stage) error {
	k, err := g.callOn(s.device("house"))
	if err != nil {
		return err
	}
	a := answer.Demo{Farm: demoFarm, Doubts: []answer.Doubt{}, Boxes: []answer.Box{}, Ground: []answer.Ground{}, Changes: []answer.Line{}}
	if a.Replicas, err = s.replicas(); err != nil {
		return err
	}
	a.DigestsEqual, a.Entries = true, a.Replicas[0].Entries
	for _, r := range a.Replicas {
		a.DigestsEqual = a.DigestsEqual && r == (answer.Replica{Replica: r.Replica, Entries: a.Entries, Digest: a.Replicas[0].Digest})
	}
	for d := range words.Doubts(k.view()) {
		a.Doubts = append(a.Doubts, k.report().Doubt(d))
	}
	rests := sheet.RestsOf(k.view())
	for _, b := range k.view().Boxes {
		a.Boxes = append(a.Boxes, k.report().Box(b, rests))
	}
	for _, gr := range k.view().Grounds {
		a.Ground = append(a.Ground, k.report().Ground(gr, rests.Ground(&gr)))
	}
	a.Hitch = k.report().Hitch(k.view().Drills[0])
	for _, l := range k.farm.Lines() {
		if l.Kind == entry.KindDialMoved {
			a.Changes = append(a.Changes, k.report().Line(l))
		}
	}
	if err := g.show(a, k.demoLines(a)); err != nil || a.DigestsEqual {
		return err
	}
	return errors.New("the four replicas do not agree")
}

// replicas are the devices and the server, and what each holds.
func (s *stage) replicas() ([]answer.Replica, error) {
	var out []answer.Replica
	for _, d := range s.devices {
		f, err := d.home.Farm()
		if err != nil {
			return nil, err
		}
		sum := f.Digest()
		out = append(out, answer.Replica{Replica: d.name, Entries: sum.Entries, Digest: hex.EncodeToString(sum.Sum[:])})
	}
	farms, err := s.server.Farms()
	if err != nil {
		return nil, err
	}
	if len(farms) != 1 {
		return nil, fmt.Errorf("the server holds %d farms", len(farms))
	}
	return append(out, answer.Replica{Replica: "server", Entries: farms[0].Entries, Digest: hex.EncodeToString(farms[0].Digest[:])}), nil
}
