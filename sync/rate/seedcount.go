package rate

import (
	"fmt"
	"slices"
)

// SeedCount is how many seeds of a species there are to the pound: the figure
// that turnrow uses, where it is from, and how far others differ.
type SeedCount struct {
	Size      SeedSize
	PerPound  float64
	Source    Source
	Low, High float64 // the least and the greatest published, to the pound
}

// String tells the figure, its source and the spread.
func (c SeedCount) String() string {
	spread := ""
	if c.Low < c.High {
		spread = fmt.Sprintf("; published from %s to %s", figure(c.Low, 4), figure(c.High, 4))
	}
	return fmt.Sprintf("%s seeds/lb (%s%s)", figure(c.PerPound, 7), c.Source.Publisher, spread)
}

// countKinds are the seed counts that the table holds: to the pound as
// published, and worked out from seeds to the gram.
var countKinds = []string{"seeds_per_lb", "seeds_per_lb (from seeds/g x 453.59237)"}

// countTrust is the order in which turnrow uses what publishers say: USDA's
// plant database, then the seed act's table (in seeds to the gram, rounded),
// then state extension in the table's own order.
var countTrust = []string{"USDA NRCS", "USDA Agricultural Marketing Service"}

// SeedCount gives the published seed count of a species; ok is false where the
// table has none. A published range counts by its middle.
func (s Species) SeedCount() (c SeedCount, ok bool) {
	best := len(countTrust) + 1
	for _, kind := range countKinds {
		for _, f := range s.Figures(kind) {
			low, high, plain := f.Range()
			if !plain {
				continue
			}
			if best > len(countTrust) {
				c.Low, c.High = low, high
			}
			c.Low, c.High = min(c.Low, low), max(c.High, high)
			if trust := trustIn(f.Source); trust < best {
				best, c.PerPound, c.Source = trust, (low+high)/2, f.Source
			}
		}
	}
	c.Size = SeedSize(c.PerPound / gramsPerPound)
	return c, c.PerPound > 0
}

// trustIn is the place of a source in countTrust, or the one after its end.
func trustIn(s Source) int {
	if i := slices.Index(countTrust, s.Publisher); i >= 0 {
		return i
	}
	return len(countTrust)
}
