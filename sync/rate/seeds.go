package rate

import "turnrow/sync/units"

// SeedSize is how many seeds there are to the gram.
type SeedSize float64

// The least and the greatest seeds to the gram that make sense: a seed of
// 100 g, and one of a microgram.
const (
	fewestSeedsPerGram = 0.01
	mostSeedsPerGram   = 1_000_000
)

func (s SeedSize) check() error {
	if !(s >= fewestSeedsPerGram && s <= mostSeedsPerGram) {
		return refuse("seed count", figure(float64(s)*gramsPerPound, 6)+" to the pound",
			"from %s to %s to the pound", figure(fewestSeedsPerGram*gramsPerPound, 3), figure(mostSeedsPerGram*gramsPerPound, 3))
	}
	return nil
}

// SeedsPerPound takes a count of seeds to the pound, from 4.54 to 454 million.
func SeedsPerPound(n units.Count) (SeedSize, error) {
	s := SeedSize(n.Float() / gramsPerPound)
	return s, s.check()
}

// MillionSeedMass takes what a million seeds weigh (a thousand times the
// thousand-seed mass), from 1 g to 100 t.
func MillionSeedMass(m units.Mass) (SeedSize, error) {
	if m <= 0 {
		return 0, refuse("thousand-seed mass", m, "more than 0")
	}
	s := SeedSize(1e6 / m.Grams())
	return s, s.check()
}

// SeedSample takes seeds counted in a weighed sample. Both must be above 0.
// Source: Bitzer and Herbek, University of Kentucky (count × 453.59 ÷ grams).
func SeedSample(n units.Count, m units.Mass) (SeedSize, error) {
	if m <= 0 {
		return 0, refuse("sample", m, "more than 0")
	}
	s := SeedSize(n.Float() / m.Grams())
	return s, s.check()
}

// PerPound is the count of seeds to the pound.
func (s SeedSize) PerPound() float64 { return float64(s) * gramsPerPound }

// SeedsPerArea is how many live seeds a bulk rate puts on each area: bulk rate
// × live share × seeds to the mass. With a live share of 1 it counts all
// seeds. Source: West Virginia University Extension, TRIM 5302.
func SeedsPerArea(bulk units.RatePerArea, share Live, size SeedSize) (units.Density, error) {
	if err := checkRate("bulk rate", bulk); err != nil {
		return 0, err
	}
	if err := share.check(); err != nil {
		return 0, err
	}
	if err := size.check(); err != nil {
		return 0, err
	}
	return units.DensityFromSquareMetre(bulk.GramsPerSquareMetre() * float64(share) * float64(size))
}

// RateForSeeds is the bulk rate that puts so many live seeds on each area:
// seeds ÷ (seeds to the mass × live share). Source: Bitzer and Herbek,
// University of Kentucky.
func RateForSeeds(seeds units.Density, share Live, size SeedSize) (units.RatePerArea, error) {
	if seeds <= 0 {
		return 0, refuse("seeds to the area", seeds, "more than 0")
	}
	if err := size.check(); err != nil {
		return 0, err
	}
	if err := share.check(); err != nil {
		return 0, err
	}
	return units.RateFromGramsPerSquareMetre(seeds.PerSquareMetre() / float64(size) / float64(share))
}

func checkLength(name string, l units.Length) error {
	if l <= 0 {
		return refuse(name, l, "more than 0")
	}
	return nil
}

// ExplainSeeds writes the sum of SeedsPerArea.
func ExplainSeeds(bulk units.RatePerArea, share Live, size SeedSize, system units.System) ([]string, error) {
	seeds, err := SeedsPerArea(bulk, share, size)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	if p.metric() {
		p.line("seeds = %s × %s seeds/kg × live share %s ÷ 10,000 m2/ha = %s", p.rate(bulk.GramsPerSquareMetre()),
			figure(float64(size)*1000, 6), percent(float64(share)), p.density(seeds.PerSquareMetre()))
	} else {
		p.line("seeds = %s × %s seeds/lb × live share %s ÷ 43,560 ft2/ac = %s", p.rate(bulk.GramsPerSquareMetre()),
			figure(size.PerPound(), 6), percent(float64(share)), p.density(seeds.PerSquareMetre()))
	}
	return p.lines, nil
}

// ExplainRateForSeeds writes the sum of RateForSeeds.
func ExplainRateForSeeds(seeds units.Density, share Live, size SeedSize, system units.System) ([]string, error) {
	bulk, err := RateForSeeds(seeds, share, size)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	if p.metric() {
		p.line("bulk rate = %s × 10,000 m2/ha ÷ (%s seeds/kg × live share %s) = %s", p.density(seeds.PerSquareMetre()),
			figure(float64(size)*1000, 6), percent(float64(share)), p.rate(bulk.GramsPerSquareMetre()))
	} else {
		p.line("bulk rate = %s × 43,560 ft2/ac ÷ (%s seeds/lb × live share %s) = %s", p.density(seeds.PerSquareMetre()),
			figure(size.PerPound(), 6), percent(float64(share)), p.rate(bulk.GramsPerSquareMetre()))
	}
	return p.lines, nil
}
