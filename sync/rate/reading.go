package rate

import (
	"cmp"
	"slices"

	"turnrow/sync/units"
)

// reading is one mass that was caught, as the arithmetic of uncertainty takes it.
type reading struct {
	of, repeat int     // which of the catches given, and which of its masses
	grams      float64 // the mass
	area       float64 // m²
	rate       float64 // g/m²
	log        float64 // natural logarithm of the rate; nothing where the rate is 0
	dial       units.Dial
	x          float64 // the same of the chart's rate at its dial; 0 where there is no chart
	turns      float64 // variance of its logarithm from the ends of the run
	rounding   float64 // the same from the scale's steps
	unseen     float64 // rate that the scale would not have shown, g/m²
	rows       []int   // numbers of the rows; none for the whole width
	drill      int     // rows of the drill; 0 where not known
	stated     Spread  // of a rate whose uncertainty was given with it; Var 0 otherwise
	lot        string  // another lot that it was made with
	sure       bool    // a person said that it is as written
}

// known is the variance that comes from how one reading was made.
func (r reading) known() float64 { return r.turns + r.rounding }

// weight is what a reading counts for beside others at its setting.
func (r reading) weight() float64 { return 1 / (repeatSpread*repeatSpread + r.known()) }

// sortReadings brings readings into an order of their own, so that sums come
// to the same digits whatever the order in which they were given.
func sortReadings(rs []reading) {
	slices.SortStableFunc(rs, func(a, b reading) int {
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.rate, b.rate), cmp.Compare(a.grams, b.grams),
			cmp.Compare(a.known(), b.known()), slices.Compare(a.rows, b.rows), cmp.Compare(a.lot, b.lot))
	})
}

// readings are the masses of a catch; of is its number.
func (c Catch) readings(of int) ([]reading, error) {
	area, err := c.squareMetres()
	if err != nil {
		return nil, err
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	masses := c.masses()
	list := make([]reading, len(masses))
	for i, grams := range masses {
		list[i] = reading{of: of, repeat: i, grams: grams, area: area, rate: grams / area, turns: c.turnsVariance(),
			unseen: c.resolution().Grams() / 2 / area, rows: c.rows(), drill: c.Drill}
		if grams > 0 {
			list[i].log = ln(list[i].rate)
			list[i].rounding = c.roundingVariance(grams)
		}
	}
	return list, nil
}

// roundingVariance is that of a flat error of half a step either way for each
// reading of the scale in a mass (the GUM, F.2.2.1).
func (c Catch) roundingVariance(grams float64) float64 {
	weighings := float64(max(1, c.Weighings))
	if len(c.Caught) == 0 {
		weighings *= float64(len(c.RowMasses))
	}
	step := c.resolution().Grams() / grams
	return float64(step*step) * weighings / 12
}

// turnsVariance is that of a flat error of the distance at its ends.
func (c Catch) turnsVariance() float64 {
	part := c.PartTurn.Float() / c.Turns.Float()
	switch {
	case c.Distance != 0 && c.PartDistance == 0:
		part = oneFoot.Metres() / c.Distance.Metres()
	case c.Distance != 0:
		part = c.PartDistance.Metres() / c.Distance.Metres()
	case c.PartTurn == 0:
		part = eighthOfTurn.Float() / c.Turns.Float()
	}
	return float64(part*part) / 3
}

// rows are the numbers of the rows caught. Where they are not named they are
// taken to be the first ones, so that another catch of as many rows is taken to
// be of the same; where a width alone is given of a drill's rows, it may hold
// no more than one.
func (c Catch) rows() []int {
	n := c.rowsCaught()
	switch {
	case len(c.Which) > 0:
		return c.Which
	case n == 0 && c.Drill == 0:
		return nil // the whole width
	case n == 0:
		n = 1
	}
	list := make([]int, n)
	for i := range list {
		list[i] = i + 1
	}
	return list
}

// rowsCaught is how many rows the catch holds; 0 where only its width says.
func (c Catch) rowsCaught() int {
	if n := c.Run.rowsCaught(); n > 0 {
		return n
	}
	return max(len(c.RowMasses), len(c.Which))
}

// asides tells which masses were set aside.
func asides(slips []slipped) []Aside {
	var list []Aside
	for _, s := range slips {
		a := Aside{Catch: s.of, Repeat: s.repeat, Slip: s.slip}
		a.Mass, _ = units.MassFromGrams(s.grams)
		a.Rate, _ = units.RateFromGramsPerSquareMetre(s.rate)
		list = append(list, a)
	}
	slices.SortStableFunc(list, func(a, b Aside) int {
		return cmp.Or(cmp.Compare(a.Catch, b.Catch), cmp.Compare(a.Repeat, b.Repeat))
	})
	return list
}
