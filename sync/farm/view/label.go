package view

import (
	"cmp"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// labelOf fills in what a lot's label says.
func (l *Lot) labelOf(t *thing.Thing) {
	share := func(num int, key string) units.Share {
		v, _ := t.Get(thing.Field{Num: num, S: key})
		return units.Share(v.N)
	}
	for i := range t.Fields {
		f := &t.Fields[i]
		if _, v, ok := f.Shown(); f.Num != thing.LabelLine || !ok || v.N == 0 {
			continue
		}
		species, variety, _ := strings.Cut(f.S, "\x00")
		l.Label = append(l.Label, LabelLine{Species: species, Variety: variety, Share: share(thing.LabelShare, f.S),
			Germination: share(thing.LabelGermination, f.S), Hard: share(thing.LabelHard, f.S), Coating: share(thing.LabelCoating, f.S)})
	}
	slices.SortFunc(l.Label, func(a, b LabelLine) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Variety, b.Variety))
	})
	l.OtherCrop, l.WeedSeed, l.Inert = share(thing.LabelOtherCrop, ""), share(thing.LabelWeedSeed, ""), share(thing.LabelInert, "")
	l.Tag = rate.Tag{OtherCrop: l.OtherCrop, WeedSeed: l.WeedSeed, Inert: l.Inert}
	if v, ok := t.Get(thing.Field{Num: thing.LabelCounted}); ok {
		l.Tag.Counted = rate.CoatingCounted(v.N)
	}
	if len(l.Label) == 1 {
		line := &l.Label[0]
		l.Tag.Purity, l.Tag.Germination, l.Tag.Hard, l.Tag.Coating = line.Share, line.Germination, line.Hard, line.Coating
	}
	l.Tagged = l.Tag.Purity > 0 && l.Tag.Germination+l.Tag.Hard > 0
}

// Relabelled is the entry that makes a lot's label what somebody typed, nil
// where it says so already. The one line of want is the lot's only seed; what
// it leaves open stays as it is, also where the seed goes by another name now.
func (l *Lot) Relabelled(want entry.LabelSet) *entry.LabelSet {
	b := &entry.LabelSet{Lot: want.Lot, OtherCrop: unless(want.OtherCrop, l.OtherCrop), WeedSeed: unless(want.WeedSeed, l.WeedSeed), Inert: unless(want.Inert, l.Inert)}
	if rate.CoatingCounted(want.CoatingCounted) != l.Tag.Counted {
		b.CoatingCounted = want.CoatingCounted
	}
	line := want.Lines[0]
	var old LabelLine
	if len(l.Label) == 1 {
		old = l.Label[0]
	}
	said := line.Share.Set || line.Germination.Set || line.Hard.Set || line.Coating.Set
	if renamed := old.Species != "" && (old.Species != line.Species || old.Variety != line.Variety); renamed {
		kept := func(o *entry.Opt[units.Share], was units.Share) {
			if !o.Set && was > 0 {
				*o = entry.Some(was)
			}
		}
		kept(&line.Share, old.Share)
		kept(&line.Germination, old.Germination)
		kept(&line.Hard, old.Hard)
		kept(&line.Coating, old.Coating)
		b.Lines = append(b.Lines, entry.LabelLine{Species: old.Species, Variety: old.Variety, Removed: true}, line)
	} else if said {
		line.Share, line.Germination = unless(line.Share, old.Share), unless(line.Germination, old.Germination)
		line.Hard, line.Coating = unless(line.Hard, old.Hard), unless(line.Coating, old.Coating)
		if old.Species == "" || line.Share.Set || line.Germination.Set || line.Hard.Set || line.Coating.Set {
			b.Lines = append(b.Lines, line)
		}
	}
	if len(b.Lines) == 0 && !b.OtherCrop.Set && !b.WeedSeed.Set && !b.Inert.Set && b.CoatingCounted == entry.CoatingNotSaid {
		return nil
	}
	return b
}

// unless leaves a field out that says what is so already.
func unless(o entry.Opt[units.Share], now units.Share) entry.Opt[units.Share] {
	if o.Set && o.Val == now {
		return entry.Opt[units.Share]{}
	}
	return o
}
