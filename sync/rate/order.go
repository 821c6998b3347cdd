package rate

import "turnrow/sync/units"

// Order is what must be known to buy seed for a piece of ground.
type Order struct {
	Bulk    units.RatePerArea
	Area    units.Area
	Bag     units.Mass  // seed in one bag
	Price   units.Money // of one bag; 0 where it is not known
	Reserve units.Share // more than the ground takes, for overlaps and thin spots
	OnHand  units.Mass  // seed of the kind that is there already
	Live    Live        // live share, for the cost of live seed; 0 where it is not known
}

// Bill is what an order comes to.
type Bill struct {
	Wanted   units.Mass // rate × area × (1 + reserve)
	Lacking  units.Mass // what of it is not on hand
	Bags     int64      // whole bags that hold what is lacking
	Cost     units.Money
	Left     units.Mass // bags and what is on hand, less rate × area without the reserve
	LeftBags int64      // whole bags of that, if none of the reserve is used
	perAcre  float64
	perPound float64
}

// CostPerAcre is the cost for each acre, in the farm's money.
func (b Bill) CostPerAcre() float64 { return b.perAcre }

// CostPerHectare is the cost for each hectare, in the farm's money.
func (b Bill) CostPerHectare() float64 { return b.perAcre * 10_000 / squareMetresPerAcre }

// CostPerLivePound is the cost of each pound of live seed that is bought, in
// the farm's money, and 0 where no live share was given or nothing is bought.
func (b Bill) CostPerLivePound() float64 { return b.perPound }

// bagTolerance is the part of a bag for which no further bag is bought, one
// in ten thousand: it covers the rounding of rates and areas, which would
// otherwise make 3.000001 bags of what is 3 on paper.
const bagTolerance = 10_000

// mostSeed is the greatest mass that an order may name, 1,000,000 t.
const mostSeed units.Mass = 1e15

// Bill works the order out: mass = bulk rate × area × (1 + reserve) − on hand,
// in whole bags. Rate, area and bag must be above 0; price, reserve and what
// is on hand 0 or more; the reserve at most 100 %. It fails with a RangeError,
// or with units.ErrOverflow. Common practice, no source.
func (o Order) Bill() (Bill, error) {
	if err := o.check(); err != nil {
		return Bill{}, err
	}
	var b Bill
	sown, err := o.Bulk.On(o.Area)
	if err != nil {
		return Bill{}, err
	}
	if b.Wanted, err = scaleMass(sown, int64(units.Whole+o.Reserve), int64(units.Whole)); err != nil {
		return Bill{}, err
	}
	b.Lacking = max(0, b.Wanted-o.OnHand)
	b.Bags = wholeBags(b.Lacking, o.Bag)
	if err := b.price(o); err != nil {
		return Bill{}, err
	}
	b.Left = max(0, units.Mass(b.Bags)*o.Bag+o.OnHand-sown)
	b.LeftBags = int64((b.Left + o.Bag/bagTolerance) / o.Bag)
	return b, nil
}

func (o Order) check() error {
	switch {
	case o.Bulk <= 0:
		return refuse("bulk rate", o.Bulk, "more than 0")
	case o.Area <= 0:
		return refuse("area", o.Area, "more than 0")
	case o.Bag <= 0 || o.Bag > mostSeed:
		return refuse("bag", o.Bag, "more than 0 and at most %v", mostSeed)
	case o.Price < 0:
		return refuse("price", o.Price, "0 or more")
	case o.Reserve < 0 || o.Reserve > units.Whole:
		return refuse("reserve", o.Reserve, "from 0%% to 100%%")
	case o.OnHand < 0 || o.OnHand > mostSeed:
		return refuse("seed on hand", o.OnHand, "from 0 to %v", mostSeed)
	case o.Live != 0:
		return o.Live.check()
	}
	return nil
}

// wholeBags is the least number of bags that holds a mass.
func wholeBags(m, bag units.Mass) int64 {
	m -= bag / bagTolerance
	if m <= 0 {
		return 0
	}
	bags := int64(m / bag)
	if m%bag > 0 {
		bags++
	}
	return bags
}

// price fills in the cost of whole bags.
func (b *Bill) price(o Order) error {
	cost, err := units.MulDiv(int64(o.Price), b.Bags, 1)
	if err != nil {
		return err
	}
	bought, err := units.MulDiv(int64(o.Bag), b.Bags, 1)
	if err != nil {
		return err
	}
	b.Cost = units.Money(cost)
	b.perAcre = b.Cost.Float() / o.Area.Acres()
	if live := units.Mass(bought).Pounds() * float64(o.Live); live > 0 {
		b.perPound = b.Cost.Float() / live
	}
	return nil
}

func scaleMass(m units.Mass, by, over int64) (units.Mass, error) {
	v, err := units.MulDiv(int64(m), by, over)
	return units.Mass(v), err
}

// Explain writes the sum of Bill.
func (o Order) Explain(system units.System) ([]string, error) {
	b, err := o.Bill()
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	wanted := p.mass(b.Wanted.Grams())
	if o.Reserve > 0 {
		p.line("seed = %s × %s × (100 %% + %s reserve) = %s", p.rate(o.Bulk.GramsPerSquareMetre()),
			p.field(o.Area.SquareMetres()), partOf(o.Reserve), wanted)
	} else {
		p.line("seed = %s × %s = %s", p.rate(o.Bulk.GramsPerSquareMetre()), p.field(o.Area.SquareMetres()), wanted)
	}
	if o.OnHand > 0 {
		p.line("to buy = %s − %s on hand = %s", wanted, p.mass(o.OnHand.Grams()), p.mass(b.Lacking.Grams()))
	}
	p.line("bags = %s ÷ %s, rounded up = %d", p.mass(b.Lacking.Grams()), p.mass(o.Bag.Grams()), b.Bags)
	if o.Price > 0 {
		p.line("cost = %d × %v = %v", b.Bags, o.Price, b.Cost)
	}
	return p.lines, nil
}
