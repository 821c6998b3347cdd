package farm

import (
	"cmp"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Fields of a lot's label. Those of a line carry its species and variety.
const (
	labelLine = 120 + iota // whether the line is on the label
	labelShare
	labelGermination
	labelHard
	labelCoating
	labelOtherCrop
	labelWeedSeed
	labelInert
	labelCounted
)

var labelNames = [...]string{"line on the label", "pure seed", "germination", "hard seed", "coating", "other crop", "weed seed", "inert matter", "how coating is counted"}

// lineKey names a line of a label among a lot's fields.
func lineKey(species, variety string) string { return species + "\x00" + variety }

// lineName is how people call a line of a label.
func lineName(key string) string {
	species, variety, _ := strings.Cut(key, "\x00")
	return strings.TrimSpace(species + " " + variety)
}

// label sets what a label says, each share of each line by itself.
func (t *thing) label(r *rec, b *entry.LabelSet, on bool) {
	set := func(num int, key string, v int64) { t.set(r, field{num: num, s: key}, value{n: v}, on) }
	share := func(num int, key string, o entry.Opt[units.Share]) {
		if o.Set {
			set(num, key, int64(o.Val))
		}
	}
	for _, l := range b.Lines {
		key := lineKey(l.Species, l.Variety)
		there := int64(1)
		if l.Removed {
			there = 0
		}
		set(labelLine, key, there)
		share(labelShare, key, l.Share)
		share(labelGermination, key, l.Germination)
		share(labelHard, key, l.Hard)
		share(labelCoating, key, l.Coating)
	}
	share(labelOtherCrop, "", b.OtherCrop)
	share(labelWeedSeed, "", b.WeedSeed)
	share(labelInert, "", b.Inert)
	if b.CoatingCounted != entry.CoatingNotSaid {
		set(labelCounted, "", int64(b.CoatingCounted))
	}
}

// labelOf fills in what a lot's label says.
func (l *Lot) labelOf(t *thing) {
	share := func(num int, key string) units.Share {
		v, _ := t.get(field{num: num, s: key})
		return units.Share(v.n)
	}
	for i := range t.fields {
		f := &t.fields[i]
		if _, v, ok := f.shown(); f.num != labelLine || !ok || v.n == 0 {
			continue
		}
		species, variety, _ := strings.Cut(f.s, "\x00")
		l.Label = append(l.Label, LabelLine{Species: species, Variety: variety, Share: share(labelShare, f.s),
			Germination: share(labelGermination, f.s), Hard: share(labelHard, f.s), Coating: share(labelCoating, f.s)})
	}
	slices.SortFunc(l.Label, func(a, b LabelLine) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Variety, b.Variety))
	})
	l.OtherCrop, l.WeedSeed, l.Inert = share(labelOtherCrop, ""), share(labelWeedSeed, ""), share(labelInert, "")
	l.Tag = rate.Tag{OtherCrop: l.OtherCrop, WeedSeed: l.WeedSeed, Inert: l.Inert}
	if v, ok := t.get(field{num: labelCounted}); ok {
		l.Tag.Counted = rate.CoatingCounted(v.n)
	}
	if len(l.Label) == 1 {
		line := &l.Label[0]
		l.Tag.Purity, l.Tag.Germination, l.Tag.Hard, l.Tag.Coating = line.Share, line.Germination, line.Hard, line.Coating
	}
	l.Tagged = l.Tag.Purity > 0 && l.Tag.Germination+l.Tag.Hard > 0
}

// labelText is what a label says, in words that follow its lot.
func labelText(b *entry.LabelSet) string {
	var parts []string
	for i := range b.Lines {
		l := &b.Lines[i]
		name := lineName(lineKey(l.Species, l.Variety))
		if l.Removed {
			parts = append(parts, name+" not on it")
		} else {
			parts = append(parts, name+sharesText("pure seed", l.Share, "germination", l.Germination, "hard seed", l.Hard, "coating", l.Coating))
		}
	}
	if rest := sharesText("other crop", b.OtherCrop, "weed seed", b.WeedSeed, "inert", b.Inert); rest != "" {
		parts = append(parts, strings.TrimSpace(rest))
	}
	switch b.CoatingCounted {
	case entry.CoatingIn:
		parts = append(parts, "shares are of the bag with its coating")
	case entry.CoatingApart:
		parts = append(parts, "shares are of the seed without its coating")
	}
	if len(parts) == 0 {
		return ""
	}
	return ": " + strings.Join(parts, "; ")
}

// sharesText writes names of shares and the shares, by turns; those that are
// set.
func sharesText(pairs ...any) string {
	var parts []string
	for i := 0; i < len(pairs); i += 2 {
		if o := pairs[i+1].(entry.Opt[units.Share]); o.Set {
			parts = append(parts, pairs[i].(string)+" "+o.Val.String())
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " " + strings.Join(parts, ", ")
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
