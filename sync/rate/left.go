package rate

import (
	"math"
	"strconv"

	"turnrow/sync/units"
)

// How often chance alone puts a level reading where a balance is called likely
// off, and off. A doubt rings for the latter alone.
const (
	balanceLikely = 0.90
	balanceOff    = 0.99
)

// million is the number of parts in which a level reading's weight is kept, so
// that the mass it moves is an integer sum.
const million = 1_000_000

// apply takes one event into the books.
func (s *Seed) apply(index int, e BoxEvent) error {
	total := e.Mass
	if e.Kind == Sown {
		var err error
		if total, err = e.Rate.On(e.Area); err != nil {
			return err
		}
		if total > greatestMass {
			return refuse("mass sown by box event "+strconv.Itoa(index+1), total, "no more than 1,000,000 t")
		}
	}
	var few [2][fewSides]units.Mass
	masses, stds := few[0][:], few[1][:]
	if n := len(s.Sides); n > fewSides {
		masses, stds = make([]units.Mass, n), make([]units.Mass, n)
	}
	if err := s.share(e, total, masses); err != nil {
		return err
	}
	if err := s.share(e, e.Std, stds); err != nil {
		return err
	}
	for i := range s.Sides {
		if e.Side == AllSides || e.Side == i {
			if err := s.applySide(index, i, e, masses[i], stds[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

func (s *Seed) applySide(index, i int, e BoxEvent, mass, std units.Mass) error {
	side := &s.Sides[i]
	switch e.Kind {
	case Poured:
		if e.Blend {
			side.blend(e.Lot, mass)
		} else {
			side.pour(e.Lot, mass)
		}
		side.std.loose += square(std)
	case TakenOut:
		short, err := side.take(mass, nil)
		if err != nil {
			return err
		}
		side.Short += short
		side.std.loose += square(std)
	case Emptied:
		*side = Side{Rows: side.Rows, Short: side.Short, last: side.last, lastMix: side.lastMix}
	case Sown:
		short, err := side.take(mass, func(l Layer) {
			s.Gone = append(s.Gone, Gone{Event: index, Side: i, Layer: l})
		})
		if err != nil {
			return err
		}
		side.Short += short
		side.std.sow(float64(mass), e.RateSpread, e.RateLevel)
	case LevelRead:
		balance, err := side.read(mass, std, e.Weighed)
		if err != nil {
			return err
		}
		balance.Event, balance.Side = index, i
		s.Balances = append(s.Balances, balance)
	}
	if held := side.mass + side.Short; held > greatestMass {
		return refuse("mass in a compartment after box event "+strconv.Itoa(index+1), held, "no more than 1,000,000 t")
	}
	return nil
}

// fewSides is how many compartments most boxes have at most: their parts need
// no memory of their own.
const fewSides = 4

// share splits an event's mass among the compartments: what is poured or sown
// by the rows they feed, what is taken out or read by what is in them. A mass
// sown from one compartment alone is that compartment's part.
func (s *Seed) share(e BoxEvent, total units.Mass, parts []units.Mass) error {
	if e.Side != AllSides && e.Kind != Sown {
		parts[e.Side] = total
		return nil
	}
	var few [fewSides]int64
	weights := append(few[:0], make([]int64, len(s.Sides))...)
	held := int64(0)
	for i, side := range s.Sides {
		weights[i] = int64(side.mass)
		held += weights[i]
	}
	if e.Kind == Poured || e.Kind == Sown || held == 0 {
		for i, side := range s.Sides {
			weights[i] = int64(side.Rows)
		}
	}
	return split(parts[:len(weights)], total, weights)
}

// split fills parts with whole milligrams in proportion to weights that add up
// to total exactly: each part is the difference of two rounded running sums.
func split(parts []units.Mass, total units.Mass, weights []int64) error {
	all := int64(0)
	for _, w := range weights {
		all += w
	}
	sum, before := int64(0), int64(0)
	for i, w := range weights {
		sum += w
		upTo, err := units.MulDiv(int64(total), sum, all)
		if err != nil {
			return err
		}
		parts[i] = units.Mass(upTo - before)
		before = upTo
	}
	return nil
}

// pour adds seed on top; the same lot as the top layer joins it.
func (s *Side) pour(lot string, mass units.Mass) {
	s.mass += mass
	top := len(s.Layers) - 1
	if top >= 0 && s.Layers[top].Lot == lot && !s.Layers[top].Mixed {
		s.Layers[top].Mass += mass
	} else if mass > 0 {
		s.Layers = append(s.Layers, Layer{Lot: lot, Mass: mass})
	}
}

// take removes seed from the oldest layers first, of what lies mixed in
// proportion, tells each part that went, and returns what there was too little
// of.
func (s *Side) take(mass units.Mass, gone func(Layer)) (short units.Mass, err error) {
	for mass > 0 && len(s.Layers) > 0 {
		if mix := s.Bottom(); len(mix) > 1 {
			var all units.Mass
			for _, l := range mix {
				all += l.Mass
			}
			part := min(mass, all)
			if err := s.takeMixed(mix, part, gone); err != nil {
				return mass, err
			}
			mass -= part
			continue
		}
		lowest := &s.Layers[0]
		part := min(mass, lowest.Mass)
		s.last, s.lastMix = lowest.Lot, nil
		if gone != nil {
			gone(Layer{Lot: lowest.Lot, Mass: part})
		}
		lowest.Mass -= part
		s.mass -= part
		mass -= part
		if lowest.Mass == 0 {
			s.Layers = s.Layers[1:]
		}
	}
	return mass, nil
}

// read takes in a level reading. Where it agrees with the books, the two are
// averaged by the inverse squares of their uncertainties; where it does not, or
// where it was weighed, the reading stands, since somebody looked. The oldest
// lot takes up the difference: more or less of it went out than was thought.
func (s *Side) read(mass, std units.Mass, weighed bool) (Balance, error) {
	book, u := s.mass, float64(std)
	b := Balance{Book: book, Read: mass}
	down, up := s.reach(balanceOff, u)
	b.Low, b.High = units.Mass(math.Floor(math.Max(0, float64(book)-down))), units.Mass(math.Ceil(float64(book)+up))
	b.Off = mass < b.Low || mass > b.High
	down, up = s.reach(balanceLikely, u)
	b.Likely = float64(mass) < math.Floor(float64(book)-down) || float64(mass) > math.Ceil(float64(book)+up)
	weight, own := 1.0, s.std.variance()
	if !b.Off && !weighed && own+float64(u*u) > 0 {
		weight = own / (own + float64(u*u))
	}
	move, err := units.MulDiv(int64(mass-book), int64(math.Round(weight*million)), million)
	if err != nil {
		return Balance{}, err
	}
	if err := s.adjust(units.Mass(move)); err != nil {
		return Balance{}, err
	}
	s.std.read(1-weight, u)
	return b, nil
}

// adjust moves the mass of the oldest lot up, or of the oldest lots down. What
// is found in a compartment that was thought empty is of the lot last in it.
func (s *Side) adjust(move units.Mass) error {
	if move > 0 {
		return s.add(move)
	}
	_, err := s.take(-move, nil)
	return err
}

// square returns the variance in mg² that a standard uncertainty stands for.
func square(m units.Mass) float64 { return float64(float64(m) * float64(m)) }
