package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

type caughtAnswer struct {
	Entry       string `json:"entry"`
	LbPerAc     number `json:"lb_per_ac"`
	LowLbPerAc  number `json:"low_lb_per_ac"`
	HighLbPerAc number `json:"high_lb_per_ac"`
	AimLbPerAc  number `json:"aim_lb_per_ac"` // 0 where the plan names none
}

func newRecordCatchCommand(g *globals) *cobra.Command {
	c := task{
		use: "catch --box B --lot L --dial D --turns N --rows K --caught M", short: "Record seed that was caught and weighed",
		long: `Record seed that was caught and weighed: so many turns of the wheel, or so far
driven, under so many rows. Prints the rate that it shows, with its 90 %
interval. Turn the wheel with the drill blocked, in park, engine off, key out.`,
		example: `  turnrow catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 106g
  turnrow catch --box legume --lot C-7 --dial 22 --turns 40 --row-masses 9.1,8.8,9.4,8.9 --resolution 0.1g
  turnrow catch --box grain --lot O-1 --dial 40 --distance "150 ft" --rows 4 --caught 110g`,
		flags: func(f *pflag.FlagSet) {
			f.String("box", "", "the seed box")
			f.String("lot", "", "the seed lot in it")
			f.String("dial", "", "the box's dial, as 40, or its mark, as C")
			f.String("turns", "", "turns of the wheel")
			f.String("distance", "", "distance driven, in place of turns")
			f.String("rows", "", "rows caught (default: as many as there are row masses)")
			f.String("caught", "", "mass caught in all, with its unit, as 106g")
			f.String("row-masses", "", "masses row by row, as 24,26,25,25 (bare numbers are grams)")
			f.String("resolution", "", "the scale's smallest step, as 0.1g (bare numbers are grams)")
			f.String("side", "", "compartment, where it was caught from one")
			f.String("note", "", "what else there is to say")
		},
		work: recordCatch,
	}.command(g)
	g.completeFlags(c, map[string]names{"box": boxNames, "lot": lotNames})
	return c
}

func recordCatch(k *call) error {
	b, drill, err := k.readCaught()
	if err != nil {
		return err
	}
	shown, err := caughtRate(b, drill)
	if err != nil {
		return wrongCall{err}
	}
	ids, err := k.record(b)
	if err != nil {
		return err
	}
	if was, ok := k.body(ids[0]).(*entry.Caught); ok { // another reading may have been chosen
		if shown, err = caughtRate(was, drill); err != nil {
			return err
		}
	}
	box, _ := k.view.BoxOf(b.Box)
	s := k.units()
	line := fmt.Sprintf("%s, 90 %% of the time from %s to %s", shown.Rate.Format(s), shown.Low.Format(s), shown.High.Format(s))
	if box.Aim > 0 {
		line += "; aim " + box.Aim.Format(s)
	}
	return k.show(caughtAnswer{ids[0].String(), number(shown.Rate.LbPerAcre()), number(shown.Low.LbPerAcre()),
		number(shown.High.LbPerAcre()), number(box.Aim.LbPerAcre())}, append([]string{line}, k.tell(ids...)...))
}

func (k *call) readCaught() (*entry.Caught, farm.Drill, error) {
	k.need("box", "lot", "dial")
	k.oneOf("turns", "distance")
	b := &entry.Caught{
		Turns:    read(k.reading, "turns", units.ParseTurns),
		Distance: k.length("distance"), Rows: k.whole("rows"),
		RowMasses: k.grams("row-masses"), Resolution: read(k.reading, "resolution", units.ParseMass, units.Bare("g")), Note: k.text("note"),
	}
	if !k.has("caught") && !k.has("row-masses") {
		k.fail("one of --caught, --row-masses is missing")
	}
	if k.has("caught") {
		b.Masses = []units.Mass{read(k.reading, "caught", units.ParseMass)}
	}
	if b.Rows == 0 {
		b.Rows = int64(len(b.RowMasses))
	}
	if b.Rows == 0 {
		k.need("rows")
	}
	if err := k.wrong(); err != nil {
		return nil, farm.Drill{}, err
	}
	drill, err := k.placeCatch(b)
	return b, drill, err
}

// placeCatch finds the box and the lot of a catch, and the box's drill.
func (k *call) placeCatch(b *entry.Caught) (farm.Drill, error) {
	box, err := k.box(k.text("box"))
	if err != nil {
		return farm.Drill{}, err
	}
	lot, err := k.lot(k.text("lot"))
	if err != nil {
		return farm.Drill{}, err
	}
	b.Box, b.Lot, b.Side = box.ID, lot.ID, k.side(box)
	if err := k.wrong(); err != nil {
		return farm.Drill{}, err
	}
	if b.Dial, err = box.ReadDial(b.Side, k.text("dial")); err != nil {
		k.fail("--dial: %w", err)
	}
	drill, _ := k.view.DrillOf(box.Drill)
	return drill, k.wrong()
}

// caughtRate is the rate that a catch shows on a drill. Where the rows were
// weighed together as well as one by one, the two must agree.
func caughtRate(b *entry.Caught, d farm.Drill) (rate.CatchRate, error) {
	c := farm.CatchOf(b, d)
	switch {
	case b.Turns > 0 && d.Roll == 0:
		return rate.CatchRate{}, errors.New("how far the wheel rolls is not known: set wheel_roll of drill " + d.Name + ", or give --distance")
	case c.Spacing == 0:
		return rate.CatchRate{}, errors.New("the row spacing is not known: set spacing of drill " + d.Name)
	}
	return c.Rate()
}
