package naive

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
)

// Field is one field of one thing.
type Field struct {
	Thing entry.ID
	Name  string
}

// write is what an entry set a field to. A settlement sets it to what another
// entry set.
type write struct {
	by     *item
	value  string
	stands entry.ID // of a settlement: whose value
}

// setFields collects what each field was set to, in total order.
func (f *Fold) setFields() {
	f.marks = map[Field][]write{}
	for _, it := range f.items {
		if it.eff == nil {
			continue
		}
		for _, s := range sets(f.canon(it.ID), it.eff) {
			f.mark(s.field, write{by: it, value: s.value})
		}
	}
	counting(f, f.settleFields)
	for _, ws := range f.marks {
		slices.SortStableFunc(ws, func(a, b write) int { return a.by.Compare(b.by) })
	}
}

// mark adds a write; of two by one entry the later in its list stands.
func (f *Fold) mark(k Field, w write) {
	for i, o := range f.marks[k] {
		if o.by == w.by {
			f.marks[k][i] = w
			return
		}
	}
	f.marks[k] = append(f.marks[k], w)
}

// settleFields is a settlement's say in each field that two or more of its
// entries set. The dial of a box is settled only by reading it.
func (f *Fold) settleFields(s *item, b *entry.Settled) {
	byLooking := b.Doubt == "two-settings" && b.Dial.Set
	byChoice := b.Doubt == "two-plans" && !b.Dial.Set
	if !byLooking && !byChoice || !says(b) {
		return
	}
	for k, ws := range f.marks {
		n := 0
		for _, w := range ws {
			if slices.Contains(b.Entries, w.by.ID) {
				n++
			}
		}
		if n < 2 || isDial(k.Name) != b.Dial.Set {
			continue
		}
		w := write{by: s, value: fmt.Sprint(int64(b.Dial.Val))}
		if !b.Dial.Set {
			w = write{by: s, stands: b.Stands[0]}
		}
		f.mark(k, w)
	}
}

func isDial(name string) bool { return len(name) > 4 && name[:5] == "dial " }

// value is what a write says; nothing where it lets an entry stand that does
// not set the field now.
func (f *Fold) value(k Field, w write) (string, bool) {
	if w.stands.IsZero() {
		return w.value, true
	}
	for _, o := range f.marks[k] {
		if o.by.ID == w.stands {
			return f.value(k, o)
		}
	}
	return "", false
}

// heads are the writes of a field that no other write's writer had seen.
func (f *Fold) heads(k Field) []write {
	var out []write
	for _, w := range f.marks[k] {
		_, says := f.value(k, w)
		for _, o := range f.marks[k] {
			if _, ok := f.value(k, o); ok && o.by.knows(w.by) {
				says = false
			}
		}
		if says {
			out = append(out, w)
		}
	}
	return out
}

// Shown is a field's value to show: the latest by total order.
func (f *Fold) Shown(thing entry.ID, name string) (string, bool) {
	k := Field{thing, name}
	hs := f.heads(k)
	if len(hs) == 0 {
		return "", false
	}
	return f.value(k, hs[len(hs)-1])
}

// contested are the entries behind a field that was set apart to different
// values.
func (f *Fold) contested(k Field) []*item {
	hs := f.heads(k)
	differ := false
	var out []*item
	for _, h := range hs {
		a, _ := f.value(k, h)
		b, _ := f.value(k, hs[0])
		differ = differ || a != b
		out = append(out, h.by)
	}
	if !differ {
		return nil
	}
	return out
}

// setting is one field set to a value.
type setting struct {
	field Field
	value string
}

// sets is every field that an entry sets, by what it stands for.
func sets(thing entry.ID, now entry.Body) []setting {
	var out []setting
	of := func(id entry.ID) {
		if !id.IsZero() {
			thing = id
		}
	}
	set := func(name string, v any) { out = append(out, setting{Field{thing, name}, fmt.Sprint(v)}) }
	switch b := now.(type) {
	case *entry.FarmFounded:
		set("name", b.Owner)
		set("role", entry.Owner)
	case *entry.MemberAdded:
		set("name", b.Name)
		set("role", b.Role)
	case *entry.MemberChanged:
		of(b.Member)
		option(set, "name", b.Name)
		if b.Role != entry.NoRole {
			set("role", b.Role)
		}
	case *entry.MemberStopped:
		of(b.Member)
		set("stopped", true)
	case *entry.DialMoved:
		of(b.Box)
		set(fmt.Sprintf("dial %d", b.Side), int64(b.To))
	case *entry.ChartPointSet:
		of(b.Box)
		set(fmt.Sprintf("chart %s %d", b.Species, int64(b.Dial)), fmt.Sprintf("%d %s", int64(b.Rate), b.Printed))
	case *entry.DialMarked:
		of(b.Box)
		set(fmt.Sprintf("marks %d", b.Side), b.Marks)
	case *entry.PlanSet:
		of(b.Ground)
		setsPlan(set, b)
	case *entry.GroundFinished:
		of(b.Ground)
		set("finished", b.Finished)
		if b.Correction.Set {
			thing = b.Drill
			set("correction", b.Correction.Val)
		}
	case *entry.GroundSet:
		of(b.Ground)
		setsGround(set, b)
	case *entry.DrillSet:
		of(b.Drill)
		setsDrill(set, b)
	case *entry.BoxSet:
		of(b.Box)
		setsBox(set, b)
	case *entry.LotSet:
		of(b.Lot)
		setsLot(set, b)
	case *entry.LabelSet:
		of(b.Lot)
		setsLabel(set, b)
	}
	return out
}

func option[T any](set func(string, any), name string, o entry.Opt[T]) {
	if o.Set {
		set(name, o.Val)
	}
}

func setsPlan(set func(string, any), b *entry.PlanSet) {
	for _, c := range b.Components {
		name := fmt.Sprintf("component %s %s", c.Lot, c.Box)
		if c.Removed {
			set(name, "removed")
		} else {
			set(name, fmt.Sprintf("%d %d", int64(c.Live), int64(c.Seeds)))
		}
	}
	if b.Depth.Set {
		set("depth", int64(b.Depth.Val))
	}
	option(set, "nurse", b.Nurse)
}

func setsGround(set func(string, any), b *entry.GroundSet) {
	option(set, "name", b.Name)
	option(set, "area", b.Area)
	option(set, "slope", b.Slope)
	option(set, "state", b.State)
	option(set, "notes", b.Notes)
	option(set, "spray", b.Spray)
	if len(b.Boundary) > 0 {
		set("boundary", b.Boundary)
	}
}

func setsDrill(set func(string, any), b *entry.DrillSet) {
	option(set, "name", b.Name)
	option(set, "rows", b.Rows)
	option(set, "spacing", b.Spacing)
	option(set, "width", b.Width)
	option(set, "roll", b.Roll)
	option(set, "wheelturns", b.WheelTurns)
	if b.Counter != entry.NoCounter {
		set("counter", b.Counter)
	}
	option(set, "counterturns", b.CounterTurns)
}

func setsBox(set func(string, any), b *entry.BoxSet) {
	if !b.Drill.IsZero() {
		set("drill", b.Drill)
	}
	option(set, "name", b.Name)
	option(set, "meter", b.Meter)
	option(set, "lowest", b.DialFrom)
	option(set, "highest", b.DialTo)
	option(set, "capacity", b.Capacity)
	if len(b.Sides) > 0 {
		set("sides", b.Sides)
	}
	if len(b.RowsFed) > 0 {
		set("feeds", b.RowsFed)
	}
	option(set, "owndials", b.OwnDials)
}

func setsLot(set func(string, any), b *entry.LotSet) {
	option(set, "name", b.Name)
	option(set, "species", b.Species)
	option(set, "variety", b.Variety)
	option(set, "tested", b.Tested)
	option(set, "bag", b.Bag)
	option(set, "price", b.Price)
	option(set, "inoculant", b.Inoculant)
	option(set, "endophyte", b.Endophyte)
	option(set, "seedsperkg", b.SeedsPerKg)
	option(set, "bagprinted", b.BagPrinted)
}

func setsLabel(set func(string, any), b *entry.LabelSet) {
	for _, l := range b.Lines {
		of := fmt.Sprintf(" of %q %q", l.Species, l.Variety)
		set("label"+of, !l.Removed)
		option(set, "pure"+of, l.Share)
		option(set, "germination"+of, l.Germination)
		option(set, "hard"+of, l.Hard)
		option(set, "coating"+of, l.Coating)
	}
	option(set, "othercrop", b.OtherCrop)
	option(set, "weedseed", b.WeedSeed)
	option(set, "inert", b.Inert)
	if b.CoatingCounted != entry.CoatingNotSaid {
		set("counted", b.CoatingCounted)
	}
}
