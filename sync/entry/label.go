package entry

import "turnrow/sync/units"

// LabelSet sets what a lot's label says, line by line. Shares are by mass of
// all that is in the bag.
type LabelSet struct {
	Lot            ID
	Lines          []LabelLine // each names a line; the others stay as they are
	OtherCrop      Opt[units.Share]
	WeedSeed       Opt[units.Share]
	Inert          Opt[units.Share]
	CoatingCounted CoatingCounted
}

// LabelLine is one seed of a label, named by species and variety.
type LabelLine struct {
	Species     string
	Variety     string
	Share       Opt[units.Share] // pure seed
	Germination Opt[units.Share] // of the pure seed, without hard seed
	Hard        Opt[units.Share] // hard or dormant seed, beside germination
	Coating     Opt[units.Share]
	Removed     bool // takes the line off the label
}

// CoatingCounted says whether a label's pure seed is a share of the bag with
// its coating.
type CoatingCounted uint8

// The ways of counting coating.
const (
	CoatingNotSaid CoatingCounted = iota // nobody said, or it does not change
	CoatingIn                            // seed, coating, inert matter, other crop and weed seed add up to all of it
	CoatingApart                         // the shares are of the seed without its coating
)

// VolumeWeighed is what a measure of a lot weighs.
type VolumeWeighed struct {
	Lot    ID
	Volume units.Volume
	Mass   units.Mass
	Heaped bool // not struck off level

	VolumeIn units.In // as the volume was written
	MassIn   units.In // as the mass was written
}

// VolumeFilled is seed of a lot poured into a box by the measure.
type VolumeFilled struct {
	Box     ID
	Side    int64 // compartment, from 1; 0 for evenly over all
	Lot     ID
	Volume  units.Volume
	Heaped  bool // not struck off level
	Reading Opt[units.Reading]
	Note    string

	VolumeIn units.In // as the volume was written
}

// Kind of the body.
func (*LabelSet) Kind() Kind { return KindLabelSet }

// Fields of the body.
func (b *LabelSet) Fields(f Fields) {
	f.Ref(1, &b.Lot)
	f.Group(2, len(b.Lines), func() { b.Lines = append(b.Lines, LabelLine{}) }, func(i int, f Fields) {
		l := &b.Lines[i]
		f.Text(1, &l.Species)
		f.Text(2, &l.Variety)
		f.OptInt(3, &l.Share.Set, (*int64)(&l.Share.Val))
		f.OptInt(4, &l.Germination.Set, (*int64)(&l.Germination.Val))
		f.OptInt(5, &l.Hard.Set, (*int64)(&l.Hard.Val))
		f.OptInt(6, &l.Coating.Set, (*int64)(&l.Coating.Val))
		flag(f, 7, &l.Removed)
	})
	f.OptInt(3, &b.OtherCrop.Set, (*int64)(&b.OtherCrop.Val))
	f.OptInt(4, &b.WeedSeed.Set, (*int64)(&b.WeedSeed.Val))
	f.OptInt(5, &b.Inert.Set, (*int64)(&b.Inert.Val))
	number(f, 6, &b.CoatingCounted)
}

// Check the body's ranges. Each line is named once.
func (b *LabelSet) Check() error {
	for i := range b.Lines {
		l := &b.Lines[i]
		if err := l.check(); err != nil {
			return err
		}
		for _, o := range b.Lines[:i] {
			if o.Species == l.Species && o.Variety == l.Variety {
				return &RangeError{"line of the label", l.Species + " " + l.Variety + " twice", "each seed once"}
			}
		}
	}
	return first(given("lot", b.Lot), between("lines of the label", len(b.Lines), 0, MaxList),
		betweenOpt("other crop", b.OtherCrop, 0, units.Whole), betweenOpt("weed seed", b.WeedSeed, 0, units.Whole),
		betweenOpt("inert matter", b.Inert, 0, units.Whole), between("coating counted", b.CoatingCounted, CoatingNotSaid, CoatingApart))
}

func (l *LabelLine) check() error {
	return first(named("species", l.Species, MaxName), text("variety", l.Variety, MaxName),
		betweenOpt("pure seed", l.Share, 0, units.Whole), betweenOpt("germination", l.Germination, 0, units.Whole),
		betweenOpt("hard seed", l.Hard, 0, units.Whole), betweenOpt("coating", l.Coating, 0, units.Whole))
}

// Kind of the body.
func (*VolumeWeighed) Kind() Kind { return KindVolumeWeighed }

// Fields of the body.
func (b *VolumeWeighed) Fields(f Fields) {
	f.Ref(1, &b.Lot)
	f.Int(2, (*int64)(&b.Volume))
	f.Int(3, (*int64)(&b.Mass))
	flag(f, 4, &b.Heaped)
	f.Uint(5, (*uint64)(&b.VolumeIn))
	f.Uint(6, (*uint64)(&b.MassIn))
}

// Check the body's ranges.
func (b *VolumeWeighed) Check() error {
	return first(given("lot", b.Lot), between("volume", b.Volume, 1, maxVolume), between("mass", b.Mass, 1, maxMass),
		between("units of the volume", b.VolumeIn, 0, units.VolumeIn), between("units of the mass", b.MassIn, 0, units.MassIn))
}

// Kind of the body.
func (*VolumeFilled) Kind() Kind { return KindVolumeFilled }

// Fields of the body.
func (b *VolumeFilled) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.Ref(3, &b.Lot)
	f.Int(4, (*int64)(&b.Volume))
	flag(f, 5, &b.Heaped)
	f.OptInt(6, &b.Reading.Set, (*int64)(&b.Reading.Val))
	f.Text(7, &b.Note)
	f.Uint(8, (*uint64)(&b.VolumeIn))
}

// Check the body's ranges.
func (b *VolumeFilled) Check() error {
	return first(given("box", b.Box), between("side", b.Side, 0, 16), given("lot", b.Lot),
		between("volume", b.Volume, 1, maxVolume), betweenOpt("counter's reading", b.Reading, 0, maxReading),
		text("note", b.Note, MaxText), between("units of the volume", b.VolumeIn, 0, units.VolumeIn))
}
