package rate

import "turnrow/sync/units"

// Bulk is the mass of seed as it comes from the bag to put on each area, so
// that the live rate goes out: live rate ÷ live share. The live rate must be
// above 0; the live share lies above 0 and up to 1; a result beyond 100,000
// kg/ha is a units.Error. Source: Texas Department of Transportation (bulk =
// live ÷ (purity × germination)).
func Bulk(live units.RatePerArea, share Live) (units.RatePerArea, error) {
	if err := checkRate("live rate", live); err != nil {
		return 0, err
	}
	if err := share.check(); err != nil {
		return 0, err
	}
	return units.RateFromGramsPerSquareMetre(live.GramsPerSquareMetre() / float64(share))
}

// LivePart is the live seed in a bulk rate: bulk rate × live share. The bulk
// rate must be above 0; the live share lies above 0 and up to 1.
func LivePart(bulk units.RatePerArea, share Live) (units.RatePerArea, error) {
	if err := checkRate("bulk rate", bulk); err != nil {
		return 0, err
	}
	if err := share.check(); err != nil {
		return 0, err
	}
	return units.RateFromGramsPerSquareMetre(bulk.GramsPerSquareMetre() * float64(share))
}

// CoatedBulk gives both answers to how much coated seed to sow: ByLive keeps
// the live seed, SameMass keeps the mass that uncoated seed would have. They
// are equal where there is no coating.
type CoatedBulk struct{ ByLive, SameMass units.RatePerArea }

// BulkFromTag works out both bulk rates for a live rate and a tag. Its errors
// are those of Bulk and of Tag.Live. Extension advice is split: Undersander,
// University of Wisconsin (30 % coating and 80 % germination is 56 % live
// seed); University of Kentucky Extension (the same mass, coated or not).
func BulkFromTag(live units.RatePerArea, tag Tag) (CoatedBulk, error) {
	coated, err := tag.Live()
	if err != nil {
		return CoatedBulk{}, err
	}
	bare, err := tag.BareLive()
	if err != nil {
		return CoatedBulk{}, err
	}
	var both CoatedBulk
	if both.ByLive, err = Bulk(live, coated); err != nil {
		return CoatedBulk{}, err
	}
	both.SameMass, err = Bulk(live, bare)
	return both, err
}

// ExplainBulk writes the sum of Bulk.
func ExplainBulk(live units.RatePerArea, share Live, system units.System) ([]string, error) {
	bulk, err := Bulk(live, share)
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	p.line("bulk rate = live rate %s ÷ live share %s = %s",
		p.rate(live.GramsPerSquareMetre()), percent(float64(share)), p.rate(bulk.GramsPerSquareMetre()))
	return p.lines, nil
}

func checkRate(name string, r units.RatePerArea) error {
	if r <= 0 {
		return refuse(name, r, "more than 0")
	}
	return nil
}
