package entry

import "turnrow/sync/units"

// LotSet makes a seed lot, with what its tag says, or changes what is set of
// it. The zero Lot makes a new one.
type LotSet struct {
	Lot         ID
	Name        Opt[string] // what the crew calls it: usually the tag's lot number
	Species     Opt[string]
	Variety     Opt[string]
	Purity      Opt[units.Share] // pure seed by mass
	Germination Opt[units.Share]
	Hard        Opt[units.Share] // hard or dormant seed
	Coating     Opt[units.Share] // coating by mass
	OtherCrop   Opt[units.Share]
	WeedSeed    Opt[units.Share]
	Inert       Opt[units.Share]
	Tested      Opt[int64] // day of the germination test, days since 1970
	Bag         Opt[units.Mass]
	Price       Opt[units.Money] // of one bag
	Inoculant   Opt[string]
	Endophyte   Opt[string]
	SeedsPerKg  Opt[int64]  // the tag's or the crew's own count; stands above any built-in figure
	BagPrinted  Opt[string] // the bag as it was written, such as 1 bu, where that is no mass
}

// BagsIn is bags of a lot that came to the farm.
type BagsIn struct {
	Lot  ID
	Bags units.Count
	Note string
}

// BagsOut is bags of a lot that left the farm unsown.
type BagsOut struct {
	Lot  ID
	Bags units.Count
	Note string
}

// Kind of the body.
func (*LotSet) Kind() Kind { return KindLotSet }

// Fields of the body.
func (b *LotSet) Fields(f Fields) {
	f.Ref(1, &b.Lot)
	f.OptText(2, &b.Name.Set, &b.Name.Val)
	f.OptText(3, &b.Species.Set, &b.Species.Val)
	f.OptText(4, &b.Variety.Set, &b.Variety.Val)
	f.OptInt(5, &b.Purity.Set, (*int64)(&b.Purity.Val))
	f.OptInt(6, &b.Germination.Set, (*int64)(&b.Germination.Val))
	f.OptInt(7, &b.Hard.Set, (*int64)(&b.Hard.Val))
	f.OptInt(8, &b.Coating.Set, (*int64)(&b.Coating.Val))
	f.OptInt(9, &b.OtherCrop.Set, (*int64)(&b.OtherCrop.Val))
	f.OptInt(10, &b.WeedSeed.Set, (*int64)(&b.WeedSeed.Val))
	f.OptInt(11, &b.Inert.Set, (*int64)(&b.Inert.Val))
	f.OptInt(12, &b.Tested.Set, (*int64)(&b.Tested.Val))
	f.OptInt(13, &b.Bag.Set, (*int64)(&b.Bag.Val))
	f.OptInt(14, &b.Price.Set, (*int64)(&b.Price.Val))
	f.OptText(15, &b.Inoculant.Set, &b.Inoculant.Val)
	f.OptText(16, &b.Endophyte.Set, &b.Endophyte.Val)
	f.OptInt(17, &b.SeedsPerKg.Set, (*int64)(&b.SeedsPerKg.Val))
	f.OptText(18, &b.BagPrinted.Set, &b.BagPrinted.Val)
}

// Check the body's ranges.
func (b *LotSet) Check() error {
	return first(newThing("lot", b.Lot, b.Name), textOpt("species", b.Species, MaxName),
		textOpt("variety", b.Variety, MaxName), betweenOpt("purity", b.Purity, 0, units.Whole),
		betweenOpt("germination", b.Germination, 0, units.Whole), betweenOpt("hard seed", b.Hard, 0, units.Whole),
		betweenOpt("coating", b.Coating, 0, units.Whole), betweenOpt("other crop", b.OtherCrop, 0, units.Whole),
		betweenOpt("weed seed", b.WeedSeed, 0, units.Whole), betweenOpt("inert matter", b.Inert, 0, units.Whole),
		betweenOpt("test date", b.Tested, 0, maxDay), betweenOpt("bag", b.Bag, 1, maxMass),
		betweenOpt("price", b.Price, 0, maxMoney), textOpt("inoculant", b.Inoculant, MaxName),
		textOpt("endophyte", b.Endophyte, MaxName), betweenOpt("seeds per kg", b.SeedsPerKg, 1, 1e9),
		textOpt("printed bag", b.BagPrinted, MaxName))
}

// Kind of the body.
func (*BagsIn) Kind() Kind { return KindBagsIn }

// Fields of the body.
func (b *BagsIn) Fields(f Fields) { bagFields(f, &b.Lot, &b.Bags, &b.Note) }

// Check the body's ranges.
func (b *BagsIn) Check() error { return bagCheck(b.Lot, b.Bags, b.Note) }

// Kind of the body.
func (*BagsOut) Kind() Kind { return KindBagsOut }

// Fields of the body.
func (b *BagsOut) Fields(f Fields) { bagFields(f, &b.Lot, &b.Bags, &b.Note) }

// Check the body's ranges.
func (b *BagsOut) Check() error { return bagCheck(b.Lot, b.Bags, b.Note) }

func bagFields(f Fields, lot *ID, bags *units.Count, note *string) {
	f.Ref(1, lot)
	f.Int(2, (*int64)(bags))
	f.Text(3, note)
}

func bagCheck(lot ID, bags units.Count, note string) error {
	return first(given("lot", lot), between("bags", bags, 1, maxCount), text("note", note, MaxText))
}
