package entry

import "turnrow/sync/units"

// LotSet makes a seed lot, with what its tag says, or changes what is set of
// it. The zero Lot makes a new one.
type LotSet struct {
	Lot        ID
	Name       Opt[string] // what the crew calls it: usually the tag's lot number
	Species    Opt[string]
	Variety    Opt[string]
	Tested     Opt[int64] // day of the germination test, days since 1970
	Bag        Opt[units.Mass]
	Price      Opt[units.Money] // of one bag
	Inoculant  Opt[string]
	Endophyte  Opt[string]
	SeedsPerKg Opt[int64]  // the tag's or the crew's own count; stands above any built-in figure
	BagPrinted Opt[string] // the bag as it was written, such as 1 bu, where that is no mass
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
	f.OptInt(5, &b.Tested.Set, (*int64)(&b.Tested.Val))
	f.OptInt(6, &b.Bag.Set, (*int64)(&b.Bag.Val))
	f.OptInt(7, &b.Price.Set, (*int64)(&b.Price.Val))
	f.OptText(8, &b.Inoculant.Set, &b.Inoculant.Val)
	f.OptText(9, &b.Endophyte.Set, &b.Endophyte.Val)
	f.OptInt(10, &b.SeedsPerKg.Set, (*int64)(&b.SeedsPerKg.Val))
	f.OptText(11, &b.BagPrinted.Set, &b.BagPrinted.Val)
}

// Check the body's ranges.
func (b *LotSet) Check() error {
	return first(newThing("lot", b.Lot, b.Name), textOpt("species", b.Species, MaxName),
		textOpt("variety", b.Variety, MaxName),
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
