package rate

import (
	"fmt"
	"strings"

	"turnrow/sync/units"
)

// InBushels is what an amount in bushels was read by; zero where it was a mass.
type InBushels struct {
	Printed string       // the amount as it was written
	By      BushelWeight // the weight that was used; its Source is empty where the amount gives its own
}

// ReadRate reads the rate of a seed as charts print it: a mass over an area, or
// bushels over one, by the weight that stands beside it (0.4 bu/ac at 32 lb/bu)
// or by the published bushel weight of the species. It fails with a
// *units.Error, or where the weight of a bushel is not known.
func ReadRate(text, species string, opts ...units.Option) (units.RatePerArea, InBushels, error) {
	return readBushels(text, species, opts, units.ParseRate)
}

// ReadBag reads what is in a bag as its tag prints it: 50 lb, 1 bu, 1 bu at 60
// lb/bu. It fails as [ReadRate] does.
func ReadBag(text, species string, opts ...units.Option) (units.Mass, InBushels, error) {
	return readBushels(text, species, opts, units.ParseMass)
}

func readBushels[T any](text, species string, opts []units.Option, parse func(string, ...units.Option) (T, error)) (v T, in InBushels, err error) {
	own, inBushels := units.BushelIn(text)
	if !inBushels {
		v, err = parse(text, opts...)
		return v, in, err
	}
	in.Printed, in.By = strings.Join(strings.Fields(text), " "), BushelWeight{Mass: own}
	if own == 0 {
		if in.By, err = bushelOf(species); err != nil {
			return v, InBushels{}, fmt.Errorf("%q: %w; write what a bushel of it weighs, such as %s at 32 lb/bu", text, err, in.Printed)
		}
	}
	v, err = parse(text, append(opts, units.Bushel(in.By.Mass))...)
	return v, in, err
}

func bushelOf(species string) (BushelWeight, error) {
	if species == "" {
		return BushelWeight{}, fmt.Errorf("a bushel is a volume, and which species it is of is not known")
	}
	s, err := FindSpecies(species)
	if err != nil {
		return BushelWeight{}, err
	}
	return s.BushelWeight("")
}
