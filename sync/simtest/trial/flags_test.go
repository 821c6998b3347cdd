package trial_test

import "flag"

// seed of all draws: another shows whether the figures hang on it.
var seed = flag.Uint64("worldseed", 1, "seed that the worlds are drawn from")

// cell is a number of a table's cell that no other cell has.
func cell(parts ...int) uint64 {
	n := uint64(0)
	for _, p := range parts {
		n = n*1009 + uint64(p)
	}
	return n
}
