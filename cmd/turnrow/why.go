package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

func newWhyCommand(g *globals) *cobra.Command {
	return task{
		use: "why FIGURE", short: "Show the notes behind a figure",
		long: `Show the notes behind a figure: box:NAME, ground:NAME, lot:NAME, drill:NAME,
hitch, or doubt:ID. What was said of those notes later is shown with them.`,
		example: "  turnrow why box:grain\n  turnrow why ground:bench\n  turnrow why hitch",
		args:    exactly(1),
		completes: func(v *farm.View) []string {
			var list []string
			for kind, of := range map[string]names{"box:": boxNames, "ground:": groundNames, "lot:": lotNames} {
				for _, n := range of(v) {
					list = append(list, kind+n)
				}
			}
			slices.Sort(list)
			return append(list, "hitch")
		},
		work: why,
	}.command(g)
}

func why(k *call) error {
	lines := k.farm.Lines()
	wanted, err := k.behind(k.args[0])
	if err != nil {
		return err
	}
	kept := map[entry.ID]bool{}
	for _, l := range lines {
		kept[l.ID] = wanted(l)
	}
	return k.showLines(slices.DeleteFunc(lines, func(l words.Line) bool { return !kept[l.ID] && !saysOf(l, kept) }))
}

// saysOf says whether a line amends, strikes or settles one of those kept, or
// is a note about one.
func saysOf(l words.Line, kept map[entry.ID]bool) bool {
	switch l.Kind {
	case entry.KindAmended, entry.KindStruck, entry.KindSettled, entry.KindNoted:
		return slices.ContainsFunc(l.About, func(id entry.ID) bool { return kept[id] })
	}
	return false
}

// behind says which lines bear on a figure.
func (k *call) behind(figure string) (func(words.Line) bool, error) {
	kind, name, _ := strings.Cut(figure, ":")
	switch kind {
	case "box":
		b, err := k.box(name)
		return k.behindBox(b), err
	case "ground":
		g, err := k.ground(name)
		return k.behindGround(g), err
	case "lot":
		l, err := k.lot(name)
		return func(line words.Line) bool { return concerns(line, l.ID) }, err
	case "drill", "hitch":
		d, err := k.theDrill()
		if kind == "drill" && name != "" {
			d, err = meant(k.find().DrillNamed(name))
		}
		if kind == "drill" {
			return func(line words.Line) bool { return concerns(line, d.ID) }, err
		}
		return k.behindHitch(d), err
	case "doubt":
		d, err := k.doubt(name)
		return func(line words.Line) bool { return slices.Contains(d.Entries, line.ID) }, err
	}
	return nil, wrongCall{fields.NoSuch("figure", "figures", figure, []string{"box:NAME", "ground:NAME", "lot:NAME", "drill:NAME", "hitch", "doubt:ID"})}
}

// behindBox is what the box itself was through, the counter that its seed is
// reckoned by, and what is known of its seed.
func (k *call) behindBox(b farm.Box) func(words.Line) bool {
	ids := slices.Clone(b.Events)
	things := []entry.ID{b.ID}
	for _, s := range b.Seed {
		things = append(things, s.Lot)
	}
	if d, ok := k.view().DrillOf(b.Drill); ok {
		ids = append(ids, d.Marks...)
		for _, r := range d.Readings {
			ids = append(ids, r.Entry)
		}
	}
	return func(l words.Line) bool {
		set := l.Kind == entry.KindLotSet || l.Kind == entry.KindLabelSet || l.Kind == entry.KindVolumeWeighed || l.Kind == entry.KindDrillSet
		return slices.Contains(ids, l.ID) || concerns(l, b.ID) ||
			set && (concerns(l, b.Drill) || slices.ContainsFunc(things, func(id entry.ID) bool { return concerns(l, id) }))
	}
}

// behindGround is what was set of the piece, the readings on it, and what went
// through the boxes whose seed it got.
func (k *call) behindGround(g farm.Ground) func(words.Line) bool {
	ids := slices.Concat(g.Events, g.Stands)
	for _, s := range g.Sown {
		if b, ok := k.view().BoxOf(s.Box); ok {
			ids = append(ids, b.Events...)
		}
	}
	return func(l words.Line) bool {
		set := l.Kind == entry.KindLotSet || l.Kind == entry.KindLabelSet || l.Kind == entry.KindChartPointSet
		return slices.Contains(ids, l.ID) || concerns(l, g.ID) ||
			set && slices.ContainsFunc(g.Sown, func(s farm.Sown) bool { return concerns(l, s.Lot) || concerns(l, s.Box) })
	}
}

func (k *call) behindHitch(d farm.Drill) func(words.Line) bool {
	return func(l words.Line) bool {
		switch l.Kind {
		case entry.KindHitchBegun, entry.KindUnhitched, entry.KindDrillMoved, entry.KindHoldReleased, entry.KindHoldRaised:
			return concerns(l, d.ID) || len(l.About) == 0
		case entry.KindItemSigned, entry.KindChecksSet, entry.KindHoldSeen:
			return true
		}
		return false
	}
}
