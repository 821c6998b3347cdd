package fact

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// IDOf is the ID of the entry behind a deed.
func (s *Facts) IDOf(d *thing.Deed) entry.ID { return entry.ID{Log: s.Logs[d.From].ID, Seq: d.Seq} }

// LotOf is the lot of a fill.
func (s *Facts) LotOf(d *thing.Deed) entry.ID { return s.ByKind[thing.Lot][d.Lot-1].ID }

// boxEvent lets an event of a box take effect.
func (s *Facts) boxEvent(r *order.Rec, b entry.Body, on bool) {
	d := thing.Deed{Rec: r, Vec: r.Vec, Seq: r.Seq, At: r.Wall, From: uint32(r.Log.Nr), Kind: b.Kind()}
	var of entry.ID
	var side int64
	var own entry.Opt[units.Reading]
	switch b := b.(type) {
	case *entry.Filled:
		of, side, own = b.Box, b.Side, b.Reading
		if d.Much = int64(b.Mass); b.Mass == 0 {
			d.Much, d.Unit = int64(b.Bags), thing.Bags
		}
		d.Lot = s.Thing(b.Lot, thing.Lot).Nr
	case *entry.VolumeFilled:
		of, side, own = b.Box, b.Side, b.Reading
		d.Much, d.Unit = thing.Levelled(int64(b.Volume), b.Heaped), thing.Measures
		if b.Heaped {
			d.Unit = thing.HeapedMeasures
		}
		d.Lot = s.Thing(b.Lot, thing.Lot).Nr
	case *entry.Drained:
		of, side, own = b.Box, b.Side, b.Reading
		d.Much, d.All = int64(b.Mass), b.All
	case *entry.LevelRead:
		of, side, own = b.Box, b.Side, b.Reading
	case *entry.DialMoved:
		of, side, own = b.Box, b.Side, b.Reading
	case *entry.Caught:
		of, side, own = b.Box, b.Side, b.Reading
	}
	d.Side, d.Own, d.Reads = uint8(side), own.Val, own.Set
	t := s.Thing(of, thing.Box)
	if on {
		t.Deeds.Put(t.Keep(d))
	} else {
		t.Deeds.Take(r)
	}
}
