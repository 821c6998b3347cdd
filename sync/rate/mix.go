package rate

import (
	"cmp"
	"fmt"
	"slices"

	"turnrow/sync/units"
)

// Component is one kind of seed that goes into a mix. Which of Share, Full
// and Seeds count depends on how the mix is made up.
type Component struct {
	Name  string
	Share units.Share       // of its full stand, or of the mix's mass
	Full  units.RatePerArea // live rate that makes a full stand of it alone
	Seeds units.Density     // live seeds aimed at
	Live  Live              // live share of what is in its bag
	Size  SeedSize          // seeds to the gram; 0 where it is not known
}

// Part is what one component comes to in a mix.
type Part struct {
	Name       string
	Live, Bulk units.RatePerArea
	Seeds      units.Density // live seeds; 0 where the seed count is not known
	OfMass     units.Share   // its share of the bulk mass
}

// Mix is components that are sown together, in one box or over one another.
// The shares of mass of its parts add up to exactly the whole.
type Mix struct {
	Parts      []Part
	Live, Bulk units.RatePerArea
	Seeds      units.Density // of the parts whose seed count is known
}

// MixByStand makes up a mix by shares of full stands: each component's live
// rate is its share × its own full-stand rate. Shares may add up to more than
// the whole, as mixes often do. Every full-stand rate and share must be above
// 0. Source: West Virginia University Extension, TRIM 5302 (rates alone and in
// mixture).
func MixByStand(components []Component) (Mix, error) {
	return makeMix(components, func(c Component) (units.RatePerArea, error) {
		if c.Share <= 0 || c.Share > units.Whole {
			return 0, refuse("share of a full stand for "+c.Name, c.Share, "more than 0%% and at most 100%%")
		}
		if err := checkRate("full-stand rate of "+c.Name, c.Full); err != nil {
			return 0, err
		}
		live, err := c.Share.OfRate(c.Full)
		if err != nil {
			return 0, err
		}
		return Bulk(live, c.Live)
	})
}

// MixByMass makes up a mix of one bulk rate by shares of its mass, which must
// add up to the whole. Source: Saskatchewan Ministry of Agriculture (seeding
// rates for perennial forages).
func MixByMass(bulk units.RatePerArea, components []Component) (Mix, error) {
	if err := checkRate("bulk rate", bulk); err != nil {
		return Mix{}, err
	}
	if err := checkWhole(components); err != nil {
		return Mix{}, err
	}
	return makeMix(components, func(c Component) (units.RatePerArea, error) { return c.Share.OfRate(bulk) })
}

// MixBySeeds makes up a mix from the live seeds of each component aimed at.
// Every component needs a seed count.
func MixBySeeds(components []Component) (Mix, error) {
	return makeMix(components, func(c Component) (units.RatePerArea, error) {
		return RateForSeeds(c.Seeds, c.Live, c.Size)
	})
}

// Together adds up parts that share a box: the rate that the box must give,
// with the shares by mass.
func Together(parts []Part) (Mix, error) {
	if len(parts) == 0 {
		return Mix{}, refuse("number of components", 0, "1 or more")
	}
	m := Mix{Parts: slices.Clone(parts)}
	for _, p := range m.Parts {
		if err := checkRate("bulk rate of "+p.Name, p.Bulk); err != nil {
			return Mix{}, err
		}
		m.Live += p.Live
		m.Bulk += p.Bulk
		m.Seeds += p.Seeds
	}
	m.shareMass()
	return m, nil
}

func checkWhole(components []Component) error {
	sum := units.Share(0)
	for _, c := range components {
		if c.Share <= 0 || c.Share > units.Whole {
			return refuse("share of "+c.Name, c.Share, "more than 0%% and at most 100%%")
		}
		sum += c.Share
	}
	if sum != units.Whole {
		return refuse("sum of the shares by mass", sum, "100%%")
	}
	return nil
}

// makeMix works out each part from its bulk rate and adds them up.
func makeMix(components []Component, bulk func(Component) (units.RatePerArea, error)) (Mix, error) {
	var parts []Part
	for _, c := range components {
		p, err := c.part(bulk)
		if err != nil {
			return Mix{}, fmt.Errorf("%s: %w", c.Name, err)
		}
		parts = append(parts, p)
	}
	return Together(parts)
}

func (c Component) part(bulk func(Component) (units.RatePerArea, error)) (Part, error) {
	p := Part{Name: c.Name}
	var err error
	if p.Bulk, err = bulk(c); err != nil {
		return Part{}, err
	}
	if p.Live, err = LivePart(p.Bulk, c.Live); err != nil {
		return Part{}, err
	}
	if c.Size == 0 {
		return p, nil
	}
	p.Seeds, err = SeedsPerArea(p.Bulk, c.Live, c.Size)
	return p, err
}

// shareMass parts the whole by bulk rates so that nothing is left over: what
// rounding down leaves goes to the largest remainders, the first of equals.
func (m *Mix) shareMass() {
	left := int64(units.Whole)
	remainders := make([]int64, len(m.Parts))
	order := make([]int, len(m.Parts))
	for i, p := range m.Parts {
		product := int64(p.Bulk) * int64(units.Whole) // 1e10 × 1e5 at the most
		m.Parts[i].OfMass = units.Share(product / int64(m.Bulk))
		left -= product / int64(m.Bulk)
		remainders[i], order[i] = product%int64(m.Bulk), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(remainders[b], remainders[a]) })
	for _, i := range order[:left] {
		m.Parts[i].OfMass++
	}
}

// Explain writes what each part of the mix comes to.
func (m Mix) Explain(system units.System) []string {
	p := &paper{system: system}
	for _, part := range m.Parts {
		line := fmt.Sprintf("%s: live %s, bulk %s, %s of the mass", part.Name,
			p.rate(part.Live.GramsPerSquareMetre()), p.rate(part.Bulk.GramsPerSquareMetre()), partOf(part.OfMass))
		if part.Seeds > 0 {
			line += ", live seeds " + p.density(part.Seeds.PerSquareMetre())
		}
		p.lines = append(p.lines, line)
	}
	p.line("together: bulk %s", p.rate(m.Bulk.GramsPerSquareMetre()))
	return p.lines
}
