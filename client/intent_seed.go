package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// Fill is seed poured into a box: bags, a mass, or so much by the measure.
type Fill struct {
	Box      entry.ID
	Side     int64 // compartment, from 1; 0 for all of the box
	Lot      entry.ID
	Bags     units.Count
	Mass     units.Mass
	MassIn   units.In // as the mass was written
	Volume   units.Volume
	VolumeIn units.In // as the volume was written
	Heaped   bool     // the measure was heaped, not struck off level
	Reading  entry.Opt[units.Reading]
	Note     string
}

func (f Fill) bodies(on *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.box(v, f.Box, f.Side)
	lot := r.lot(v, f.Lot)
	n := given(f.Bags > 0, f.Mass > 0, f.Volume > 0)
	r.because(n == 0, "bags", NoAmount, "")
	r.because(n > 1, "volume", TwoAmounts, "")
	r.because(f.Bags > 0 && lot.Bag == 0 && !lot.ID.IsZero(), "bags", BagUnknown, lot.Name)
	if f.Volume == 0 {
		return r.or(&entry.Filled{Box: f.Box, Side: f.Side, Lot: f.Lot, Mass: f.Mass, MassIn: f.MassIn, Bags: f.Bags, Reading: f.Reading, Note: f.Note})
	}
	if !lot.ID.IsZero() {
		r.failed(on.measureKnown(lot), "volume", MeasureUnknown, lot.Name)
	}
	return r.or(&entry.VolumeFilled{Box: f.Box, Side: f.Side, Lot: f.Lot, Volume: f.Volume, VolumeIn: f.VolumeIn, Heaped: f.Heaped, Reading: f.Reading, Note: f.Note})
}

// Drain is seed let out of a box: a mass, or all that was in it.
type Drain struct {
	Box     entry.ID
	Side    int64 // compartment, from 1; 0 for all of the box
	Mass    units.Mass
	MassIn  units.In // as the mass was written
	All     bool     // the box, or its side, is empty now
	Where   string   // where the seed went
	Reading entry.Opt[units.Reading]
}

func (d Drain) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.box(v, d.Box, d.Side)
	r.because(d.Mass == 0 && !d.All, "mass", NoAmount, "")
	return r.or(&entry.Drained{Box: d.Box, Side: d.Side, Mass: d.Mass, MassIn: d.MassIn, All: d.All, Where: d.Where, Reading: d.Reading})
}

// Level is what somebody saw in a box: a mass, or a share of full.
type Level struct {
	Box     entry.ID
	Side    int64 // compartment, from 1; 0 for all of the box
	Mass    entry.Opt[units.Mass]
	MassIn  units.In // as the mass was written
	Share   entry.Opt[units.Share]
	Reading entry.Opt[units.Reading]
	Note    string
}

func (l Level) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.box(v, l.Box, l.Side)
	r.because(!l.Mass.Set && !l.Share.Set, "mass", NoAmount, "")
	r.because(l.Mass.Set && l.Share.Set, "share", TwoAmounts, "")
	return r.or(&entry.LevelRead{Box: l.Box, Side: l.Side, Mass: l.Mass, MassIn: l.MassIn, Share: l.Share, Reading: l.Reading, Note: l.Note})
}

// Bags is bags of a lot that came, or left the farm unsown.
type Bags struct {
	Lot  entry.ID
	Bags units.Count
	Out  bool // they left
	Note string
}

func (b Bags) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.lot(v, b.Lot)
	r.because(b.Bags == 0, "bags", NoAmount, "")
	if b.Out {
		return r.or(&entry.BagsOut{Lot: b.Lot, Bags: b.Bags, Note: b.Note})
	}
	return r.or(&entry.BagsIn{Lot: b.Lot, Bags: b.Bags, Note: b.Note})
}

// Weigh is what a measure of a lot weighs, to fill boxes by it.
type Weigh struct {
	Lot      entry.ID
	Volume   units.Volume
	VolumeIn units.In // as the volume was written
	Heaped   bool     // the measure was heaped, not struck off level
	Mass     units.Mass
	MassIn   units.In // as the mass was written
}

func (w Weigh) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	r.lot(v, w.Lot)
	r.because(w.Volume == 0, "volume", NoAmount, "")
	r.because(w.Mass == 0, "mass", NoAmount, "")
	return r.or(&entry.VolumeWeighed{Lot: w.Lot, Volume: w.Volume, VolumeIn: w.VolumeIn, Heaped: w.Heaped, Mass: w.Mass, MassIn: w.MassIn})
}
