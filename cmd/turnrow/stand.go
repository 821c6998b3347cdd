package main

import (
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newCountStandCommand(g *globals) *cobra.Command {
	c := task{
		use: "stand --ground NAME --frame AREA --counts A,B,..", short: "Record plants counted on a piece of ground",
		long: `Record plants counted on a piece of ground: a number for each throw of a frame,
or for each length of row. Prints plants to the area with its 95 % interval.`,
		example: `  turnrow stand --ground bench --frame "1 ft2" --counts 14,9,17,12,11,15
  turnrow stand --ground bench --row "3 ft" --spacing "7.5 in" --counts 21,18,25 --species "red clover" --day yesterday`,
		flags: func(f *pflag.FlagSet) {
			f.String("ground", "", "piece of ground")
			f.String("frame", "", "area of the frame, as \"1 ft2\"")
			f.String("row", "", "length of row counted, in place of a frame")
			f.String("spacing", "", "row spacing, with --row (default: the drill's)")
			f.String("counts", "", "plants in each frame, parted by commas")
			f.String("species", "", "which plants (default: all together)")
			f.String("day", "", "day of the count: 2026-10-03, today or yesterday (default: today)")
			f.String("note", "", "what else there is to say")
		},
		work: countStand,
	}.command(g)
	g.completeFlags(c, map[string]names{"ground": groundNames})
	return c
}

func countStand(k *call) error {
	b := k.readStand()
	if err := k.wrong(); err != nil {
		return err
	}
	ground, err := k.ground(k.Text("ground"))
	if err != nil {
		return err
	}
	b.Ground = ground.ID
	frame := b.Frame
	if b.Row > 0 {
		if frame, err = rate.FrameOfRow(b.Row, b.Spacing); err != nil {
			return wrongCall{err}
		}
	}
	s, err := rate.StandOf(frame, b.Counts[0].Plants)
	if err != nil {
		return wrongCall{err}
	}
	ids, err := k.do(b)
	if err != nil {
		return err
	}
	mean, low, high := s.Per(units.US)
	lines := append([]string{"plants: " + s.Words(k.units())}, moreFrames(s)...)
	return k.show(answer.StandCounted{Entry: ids[0].String(), PerFt2: answer.Number(mean), Low: answer.Number(low), High: answer.Number(high)}, append(lines, k.tell(ids...)...))
}

func (k *call) readStand() client.Stand {
	k.need("ground", "counts")
	k.oneOf("frame", "row")
	b := k.Stand()
	if b.Row > 0 && b.Spacing == 0 {
		if d, err := k.theDrill(); err == nil {
			b.Spacing = d.Spacing
		}
		if b.Spacing == 0 {
			k.need("spacing")
		}
	}
	b.Day = int64(k.date("day", time.Now().In(k.zone())))
	return b
}
