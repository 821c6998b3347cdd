package rate

import (
	"math"

	"turnrow/sync/units"
)

// A frequency grid counts cells that hold a plant rather than plants: quick in
// a thick stand, and a floor, since a cell can hold more than one.
const (
	// gridFactor turns per cent of 15 cm cells occupied into plants to the
	// square metre, rounded down on purpose: Vogel and Masters, "Frequency
	// grid: a simple tool for measuring grassland establishment", Journal of
	// Range Management 54 (2001), 653-655.
	gridFactor = 0.4
	// gridArea is the area of 100 such cells in square metres: Great Lakes
	// Bioenergy Research Center and Michigan State University, protocol 175,
	// "Stand Counts - Perennials".
	gridArea = 2.25
)

// Grid is the least number of plants that a frequency grid shows, by both
// published factors.
type Grid struct {
	Occupied     units.Share   // of the cells
	Conservative units.Density // per cent occupied × 0.4 (Vogel and Masters)
	PerCell      units.Density // occupied cells over their area (Michigan State)
}

// FrequencyGrid works out plants to the area from cells of 15 cm × 15 cm, of
// which occupied hold a plant. It fails with a *RangeError for no cells, or
// fewer than none or more than all occupied.
func FrequencyGrid(occupied, cells int64) (Grid, error) {
	if cells <= 0 || cells > math.MaxInt32 {
		return Grid{}, refuse("number of grid cells", cells, "from 1 to %d", math.MaxInt32)
	}
	if occupied < 0 || occupied > cells {
		return Grid{}, refuse("occupied grid cells", occupied, "from 0 to %d", cells)
	}
	percent := float64(occupied) * 100 / float64(cells)
	return Grid{
		Occupied:     units.Share(math.Round(percent * 1000)),
		Conservative: units.Density(math.Round(percent * gridFactor * 1000)),
		PerCell:      units.Density(math.Round(percent / gridArea * 1000)),
	}, nil
}
