package rate

import (
	"strconv"

	"turnrow/sync/units"
)

// BlockedBelow is the share of the mean catch below which a row is likely
// blocked. Our own rule; a published limit was not found.
const BlockedBelow = 0.5

// Evenness is how alike the rows of one catch are.
type Evenness struct {
	Mean       units.Mass // mean catch of a row, rounded half up to a milligram
	Deviation  units.Mass // standard deviation (divisor n − 1) between rows
	CV         float64    // coefficient of variation: Deviation over Mean, a fraction
	Departures []float64  // each row's departure from the mean, as a fraction of it
	Blocked    []int      // numbers, from 1, of rows below BlockedBelow of the mean
}

// EvennessOf weighs the catches of two or more rows against one another. It
// fails with a *RangeError for fewer rows, a negative catch, or nothing caught.
func EvennessOf(rows []units.Mass) (Evenness, error) {
	if len(rows) < 2 {
		return Evenness{}, refuse("number of rows weighed", len(rows), "2 or more")
	}
	values := make([]float64, len(rows))
	for i, m := range rows {
		if m < 0 {
			return Evenness{}, refuse("catch of row "+strconv.Itoa(i+1), m, "0 or more")
		}
		values[i] = float64(m)
	}
	average := mean(values)
	if !(average > 0) {
		return Evenness{}, refuse("catch of all rows", units.Mass(0), "more than 0")
	}
	deviation := sd(values)
	e := Evenness{Mean: rounded(average), Deviation: rounded(deviation), CV: deviation / average}
	for i, v := range values {
		e.Departures = append(e.Departures, v/average-1)
		if v < BlockedBelow*average {
			e.Blocked = append(e.Blocked, i+1)
		}
	}
	return e, nil
}
