package thing

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/units"
)

// Fields of a lot's label. Those of a line carry its species and variety.
const (
	LabelLine = 120 + iota // whether the line is on the label
	LabelShare
	LabelGermination
	LabelHard
	LabelCoating
	LabelOtherCrop
	LabelWeedSeed
	LabelInert
	LabelCounted
)

// LineKey names a line of a label among a lot's fields.
func LineKey(species, variety string) string { return species + "\x00" + variety }

// Label sets what a label says, each share of each line by itself.
func (t *Thing) Label(r *order.Rec, b *entry.LabelSet, on bool) {
	set := func(num int, key string, v int64) { t.Set(r, Field{Num: num, S: key}, Value{N: v}, on) }
	share := func(num int, key string, o entry.Opt[units.Share]) {
		if o.Set {
			set(num, key, int64(o.Val))
		}
	}
	for _, l := range b.Lines {
		key := LineKey(l.Species, l.Variety)
		there := int64(1)
		if l.Removed {
			there = 0
		}
		set(LabelLine, key, there)
		share(LabelShare, key, l.Share)
		share(LabelGermination, key, l.Germination)
		share(LabelHard, key, l.Hard)
		share(LabelCoating, key, l.Coating)
	}
	share(LabelOtherCrop, "", b.OtherCrop)
	share(LabelWeedSeed, "", b.WeedSeed)
	share(LabelInert, "", b.Inert)
	if b.CoatingCounted != entry.CoatingNotSaid {
		set(LabelCounted, "", int64(b.CoatingCounted))
	}
}
