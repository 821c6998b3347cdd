package naive

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Doubt is a doubt that nobody has settled.
type Doubt struct {
	Kind    string
	Entries []entry.ID
}

// Key tells doubts apart.
func (d Doubt) Key() string { return key(d.Kind, d.Entries) }

// Doubts are the open doubts of the kinds that this fold knows: two-settings,
// two-plans, counter-back, counter-begin, two-begins, two-pieces, worked-unready, no-right, after-stop,
// amended-apart, one-invite. Double entries are asked for one by one.
func (f *Fold) Doubts() []Doubt {
	var out []Doubt
	have := map[string]bool{}
	put := func(d Doubt) {
		if k := d.Key(); !have[k] {
			have[k] = true
			out = append(out, d)
		}
	}
	add := func(kind string, its []*item) {
		if d := (Doubt{kind, ids(its)}); len(its) > 0 && !f.settled(d) {
			put(d)
		}
	}
	for k := range f.marks {
		kind := "two-plans"
		if isDial(k.Name) {
			kind = "two-settings"
		}
		if f.named(k.Thing) {
			add(kind, f.contested(k))
		}
	}
	for _, drill := range f.Things("drill") {
		pts, back := f.timeline(drill)
		for _, r := range back {
			add("counter-back", []*item{r})
		}
		if len(pts) > 0 && pts[0].open {
			add("counter-begin", []*item{pts[0].it})
		}
		for _, pair := range twoBegins(pts) {
			add("two-begins", pair)
		}
		for _, pair := range twoPieces(pts) {
			add("two-pieces", pair)
		}
		add("worked-unready", f.uncovered("worked-unready", f.workedUnready(drill, pts)))
	}
	f.leftOut(add)
	f.oneInvite(add)
	for _, it := range f.items {
		add("amended-apart", f.amendedApart(it))
	}
	for _, d := range f.atOdds() {
		put(d)
	}
	return out
}

// atOdds are the doubts about a counter of which those who settled them last say
// different things. Each is open, though nothing else asks any more: that what
// they spoke of was amended, struck or set aside since overrules none of them. Two
// words about a field are a doubt of the field, and double entries are asked
// for one by one.
func (f *Fold) atOdds() []Doubt {
	var out []Doubt
	counting(f, func(_ *item, b *entry.Settled) {
		d := Doubt{b.Doubt, b.Entries}
		if (worded(d.Kind) || d.Kind == "two-begins") && f.speaks(b) && f.settlement(d) == nil {
			out = append(out, d)
		}
	})
	return out
}

// settled says whether those who settled a doubt last agree on it. A dial is
// settled by reading it, and by nothing else.
func (f *Fold) settled(d Doubt) bool {
	b := f.settlement(d)
	if b != nil && d.Kind == "counter-back" && b.Choice != "instead" {
		return b.Value.Val == f.readingOf(f.byID[b.Entries[0]])
	}
	return b != nil
}

// settlement is what those who settled a doubt last agree on; nil where they
// do not, or nobody did.
func (f *Fold) settlement(d Doubt) *entry.Settled {
	var all []*item
	counting(f, func(s *item, b *entry.Settled) {
		if key(b.Doubt, b.Entries) == d.Key() && f.speaks(b) {
			all = append(all, s)
		}
	})
	var says *entry.Settled
	for _, s := range all {
		b := s.eff.(*entry.Settled)
		if slices.ContainsFunc(all, func(o *item) bool { return o.knows(s) }) {
			continue
		}
		if says != nil && choosing(d.Kind) && (!slices.Equal(says.Stands, b.Stands) || says.Dial != b.Dial) {
			return nil
		}
		if says != nil && worded(d.Kind) && (says.Choice != b.Choice || says.Value != b.Value) {
			return nil
		}
		says = b
	}
	return says
}

// choosing says whether settling a doubt of a kind is choosing what stands,
// rather than saying that somebody looked.
func choosing(kind string) bool {
	return slices.Contains([]string{"two-settings", "two-plans", "double-entry", "same-name", "two-begins"}, kind)
}

// slips are the kinds of doubt about what is unlikely to be as it was written.
var slips = []string{"unlikely-catch", "over-full", "poured-twice", "level-too-high", "level-too-low", "over-drained", "more-than-came", "near-name",
	"same-dial", "unlikely-dial", "unlikely-rate", "unlikely-width", "other-species", "too-many-acres", "too-fast", "too-far-back", "ran-dry", "counter-back",
	"near-species", "changed-species", "other-label", "unclear-coating", "finished-early", "little-poured"}

// worded says whether settling a doubt of a kind is saying a word about it.
func worded(kind string) bool { return kind == "counter-begin" || kind == "counter-back" }

// speaks says whether a settlement says what its kind of doubt asks for: of where
// a counter began, that takes the reading that it is about.
func (f *Fold) speaks(b *entry.Settled) bool {
	if b.Doubt == "counter-begin" {
		return f.saysBegin(b)
	}
	return says(b)
}

// says whether a settlement says what its kind of doubt asks for: a reading of
// the dial, or which of its entries stand.
func says(b *entry.Settled) bool {
	for _, id := range b.Stands {
		if !slices.Contains(b.Entries, id) {
			return false
		}
	}
	switch b.Doubt {
	case "two-settings":
		return b.Dial.Set
	case "two-plans":
		return len(b.Stands) == 1
	case "double-entry", "two-begins":
		return len(b.Stands) > 0
	case "counter-back":
		if len(b.Entries) != 1 {
			return false
		}
		return b.Choice == "instead" || b.Value.Set && slices.Contains([]string{"as-written", "set-back"}, b.Choice)
	}
	return !slices.Contains(slips, b.Doubt) || b.Choice == "as-written" || b.Choice == "instead"
}

// Named says whether some settlement names entries as one doubt of a kind.
func (f *Fold) Named(kind string, es []entry.ID) bool {
	named := false
	counting(f, func(_ *item, b *entry.Settled) {
		named = named || key(b.Doubt, b.Entries) == key(kind, es)
	})
	return named
}

// uncovered are those that no settlement of the kind names.
func (f *Fold) uncovered(kind string, its []*item) []*item {
	return slices.DeleteFunc(slices.Clone(its), func(it *item) bool {
		covered := false
		counting(f, func(_ *item, b *entry.Settled) {
			covered = covered || b.Doubt == kind && slices.Contains(b.Entries, it.ID)
		})
		return covered
	})
}

// leftOut are the doubts about who may write: one for each device and kind.
func (f *Fold) leftOut(add func(string, []*item)) {
	byLog := map[entry.LogID]map[string][]*item{}
	for _, it := range f.items {
		if byLog[it.Log] == nil {
			byLog[it.Log] = map[string][]*item{}
		}
		byLog[it.Log][it.left] = append(byLog[it.Log][it.left], it)
	}
	for _, left := range byLog {
		without := append(left[NoRight], left[NoForce]...)
		slices.SortFunc(without, func(a, b *item) int { return a.Compare(b) })
		add("no-right", f.uncovered("no-right", without))
		add("after-stop", f.uncovered("after-stop", left[AfterStop]))
	}
}

// oneInvite are the admissions, each device's first, of two or more that belong
// on one invite and are not stopped: one of them has a copy of it.
func (f *Fold) oneInvite(add func(string, []*item)) {
	admitted := map[entry.Key][]*item{}
	for _, d := range f.devices() {
		k := f.inviteOf(f.posts[d])
		if k == (entry.Key{}) || f.Stopped(d) {
			continue
		}
		admitted[k] = append(admitted[k], f.posts[d].admits[0].it)
	}
	for _, its := range admitted {
		if len(its) > 1 {
			slices.SortFunc(its, func(a, b *item) int { return a.Compare(b) })
			add("one-invite", its)
		}
	}
}

// inviteOf is the invite that a device was let in on.
func (f *Fold) inviteOf(p *post) entry.Key {
	for _, a := range p.admits {
		b := a.it.Body.(*entry.Admitted)
		first := f.marked(entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash})
		if enrol, ok := first.Body.(*entry.DeviceEnrolled); ok {
			return enrol.Invite
		}
	}
	return entry.Key{}
}

// amendedApart: amendments that did not know each other and say different
// things, or a strike and an amendment apart.
func (f *Fold) amendedApart(it *item) []*item {
	amends, strikes := f.editsOf(it)
	edits := append(slices.Clone(amends), strikes...)
	slices.SortFunc(edits, func(a, b *item) int { return a.Compare(b) })
	var heads []*item
	for _, e := range edits {
		if !slices.ContainsFunc(edits, func(o *item) bool { return o.knows(e) }) {
			heads = append(heads, e)
		}
	}
	differ := false
	for _, h := range heads {
		differ = differ || !sameEdit(h.eff, heads[0].eff)
	}
	if !differ {
		return nil
	}
	return heads
}

func sameEdit(a, b entry.Body) bool {
	x, ok := a.(*entry.Amended)
	y, also := b.(*entry.Amended)
	if !ok || !also {
		return !ok && !also // two strikes
	}
	return Same(x.Body, y.Body)
}

// DoubleEntry says whether two entries look like one fill or drain written by
// two people.
func (f *Fold) DoubleEntry(a, b entry.ID) bool {
	x, y := f.byID[a], f.byID[b]
	if x == nil || y == nil || x.Log == y.Log || !apart(x, y) {
		return false
	}
	if between := x.Wall - y.Wall; max(between, -between) > 20*60*1000 {
		return false
	}
	p, isFill := f.fill(x.eff)
	q, also := f.fill(y.eff)
	if isFill || also {
		return isFill && also && p.box == q.box && p.side == q.side && p.lot == q.lot && p.alike(q)
	}
	drained, ok := x.eff.(*entry.Drained)
	other, both := y.eff.(*entry.Drained)
	return ok && both && drained.Box == other.Box && drained.Side == other.Side && drained.All == other.All && near(int64(drained.Mass), int64(other.Mass))
}

// fill is a fill however it was told: its mass, where that follows.
type fill struct {
	box, lot entry.ID
	side     int64
	mass     units.Mass
	bags     units.Count
	volume   int64 // struck off level
}

func (f *Fold) fill(b entry.Body) (fill, bool) {
	switch b := b.(type) {
	case *entry.Filled:
		return fill{box: b.Box, lot: b.Lot, side: b.Side, mass: f.filled(b), bags: b.Bags}, true
	case *entry.VolumeFilled:
		v := struckLevel(b.Volume, b.Heaped)
		return fill{box: b.Box, lot: b.Lot, side: b.Side, mass: f.ofVolume(b.Lot, v), volume: v}, true
	}
	return fill{}, false
}

// struckLevel is a volume as it is struck off level: a heaped measure holds
// 1.278 times as much.
func struckLevel(v units.Volume, heaped bool) int64 {
	if heaped {
		return (int64(v)*1278 + 500) / 1000
	}
	return int64(v)
}

// ofVolume is what so much of a lot weighs: by what of it was weighed, else by
// the bushel.
func (f *Fold) ofVolume(lot entry.ID, v int64) units.Mass {
	var mass, volume int64
	counting(f, func(_ *item, b *entry.VolumeWeighed) {
		if b.Lot == lot {
			mass += int64(b.Mass)
			volume += struckLevel(b.Volume, b.Heaped)
		}
	})
	if volume == 0 {
		name, _ := f.Shown(lot, "species")
		sp, err := rate.FindSpecies(name)
		if err != nil {
			return 0
		}
		w, err := sp.BushelWeight("")
		if err != nil {
			return 0
		}
		mass, volume = int64(w.Mass), 35_239 // ml in a US bushel
	}
	m, err := units.MulDiv(mass, v, volume)
	if err != nil {
		return 0
	}
	return units.Mass(m)
}

// alike: within a tenth, by mass, or by bags or volume where no mass is known.
func (p fill) alike(q fill) bool {
	if p.mass > 0 || q.mass > 0 {
		return p.mass > 0 && q.mass > 0 && near(int64(p.mass), int64(q.mass))
	}
	if p.volume > 0 || q.volume > 0 {
		return p.volume > 0 && q.volume > 0 && near(p.volume, q.volume)
	}
	return near(int64(p.bags), int64(q.bags))
}

func (f *Fold) filled(b *entry.Filled) units.Mass {
	if b.Mass > 0 {
		return b.Mass
	}
	txt, _ := f.Shown(b.Lot, "bag")
	bag, err := units.ParseMass(txt)
	if err != nil {
		return 0
	}
	m, err := bag.Times(b.Bags)
	if err != nil {
		return 0
	}
	return m
}

func near(a, b int64) bool { return (max(a, b)-min(a, b))*10 <= max(a, b) }

// Pourings are the fills and drains that stand for something.
func (f *Fold) Pourings() []entry.ID {
	var out []entry.ID
	counting(f, func(it *item, _ *entry.Filled) { out = append(out, it.ID) })
	counting(f, func(it *item, _ *entry.VolumeFilled) { out = append(out, it.ID) })
	counting(f, func(it *item, _ *entry.Drained) { out = append(out, it.ID) })
	return out
}

// SettledDouble says whether some settlement names both entries as one doubt.
func (f *Fold) SettledDouble(a, b entry.ID) bool {
	return f.settled(Doubt{"double-entry", []entry.ID{a, b}})
}

// Things are the things of a kind that somebody named, in the order of their
// making.
func (f *Fold) Things(kind string) []entry.ID {
	return slices.DeleteFunc(f.made(kind), func(id entry.ID) bool { return !f.named(id) })
}

// made are the things of a kind, those too of which nothing counts that is set.
func (f *Fold) made(kind string) []entry.ID {
	var out []entry.ID
	for _, it := range f.items {
		if making(it.Body) == kind && f.canon(it.ID) == it.ID {
			out = append(out, it.ID)
		}
	}
	return out
}

func (f *Fold) named(thing entry.ID) bool {
	n, ok := f.Shown(thing, "name")
	return ok && n != ""
}

// Components is the number of components in a piece of ground's plan.
func (f *Fold) Components(ground entry.ID) int {
	n := 0
	for k := range f.marks {
		if v, ok := f.Shown(k.Thing, k.Name); k.Thing == ground && strings.HasPrefix(k.Name, "component ") && ok && v != "removed" {
			n++
		}
	}
	return n
}

// Bags is the bags of a lot that came and left.
func (f *Fold) Bags(lot entry.ID) (in, out units.Count) {
	counting(f, func(_ *item, b *entry.BagsIn) {
		if b.Lot == lot {
			in += b.Bags
		}
	})
	counting(f, func(_ *item, b *entry.BagsOut) {
		if b.Lot == lot {
			out += b.Bags
		}
	})
	return in, out
}

// FilledOf is the mass of a lot that was poured into boxes.
func (f *Fold) FilledOf(lot entry.ID) units.Mass {
	var m units.Mass
	counting(f, func(_ *item, b *entry.Filled) {
		if b.Lot == lot {
			m += f.filled(b)
		}
	})
	counting(f, func(_ *item, b *entry.VolumeFilled) {
		if b.Lot == lot {
			m += f.ofVolume(lot, struckLevel(b.Volume, b.Heaped))
		}
	})
	return m
}
