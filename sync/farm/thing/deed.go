package thing

import (
	"iter"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/units"
)

// Deed is what an event of a box comes to. Entries and their bodies lie all
// over the memory, so that to fetch one takes longer than all that a view does
// with it: what views ask of each event is kept in one place, as it was when
// the event took effect.
type Deed struct {
	Rec   *order.Rec
	Vec   *order.Vector // the entry's
	Seq   uint64        // the entry's
	At    int64         // its clock, ms since 1970
	Much  int64         // of a fill or a drain, in unit
	Own   units.Reading
	From  uint32 // place of its device
	Lot   uint32 // of a fill: which of the farm's lots, from 1; 0 for none
	Kind  entry.Kind
	Side  uint8
	All   bool // a drain of all
	Unit  Unit
	Reads bool // Own is set: the counter's reading that the event says itself
	// Double says that it seems to be written twice, where that was last
	// looked into.
	Double bool
}

// Unit is what a fill or a drain was told in.
type Unit uint8

const (
	Weights        Unit = iota // mass, mg
	Bags                       // thousandths of a bag
	Measures                   // millilitres, struck off level
	HeapedMeasures             // millilitres that a heaped measure would hold struck off level
)

// Record is the entry behind the deed.
func (d *Deed) Record() *order.Rec { return d.Rec }

// Knew says whether d's writer had seen o.
func (d *Deed) Knew(o *Deed) bool {
	if d.From == o.From {
		return o.Seq < d.Seq
	}
	return d.Vec.At(int(o.From)) >= o.Seq
}

// Keep makes room for a deed beside those of the same box before it, since
// they are read one after another.
func (t *Thing) Keep(d Deed) *Deed {
	const most = 128
	if len(t.room) == cap(t.room) {
		t.room = make([]Deed, 0, min(most, 1+len(t.Deeds.In)/4))
	}
	t.room = append(t.room, d)
	return &t.room[len(t.room)-1]
}

// Did is the events of a box of one kind, in order.
func (t *Thing) Did(k entry.Kind) iter.Seq[*order.Rec] {
	return func(yield func(*order.Rec) bool) {
		for _, d := range t.Deeds.All() {
			if d.Kind == k && !yield(d.Rec) {
				return
			}
		}
	}
}

// Fills says whether a deed is a fill.
func (d *Deed) Fills() bool { return d.Kind == entry.KindFilled || d.Kind == entry.KindVolumeFilled }

// Pours says whether a deed is a fill or a drain: what may be written twice.
func (d *Deed) Pours() bool { return d.Fills() || d.Kind == entry.KindDrained }
