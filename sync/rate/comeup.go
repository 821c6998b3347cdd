package rate

import "fmt"

// Kinds of figure in the species table for the days from sowing to plants. The
// counts of a germination test (7 CFR 201.58, Table 2) are days in the warmth
// and moisture that suit the seed best; in a field it is rarely sooner, and in
// cold or dry soil later.
const (
	firstCountFigure = "germination_first_count"
	finalCountFigure = "germination_final_count"
)

// LateBeyond is how many times the published last day must pass before plants
// are called late: soil is seldom as kind as a germinator. Our own rule, no
// source.
const LateBeyond = 2

// latestDay bounds day numbers so that no sum of two overflows: a hundred
// million days from the day that is called 0.
const latestDay = 100_000_000

// ComeUp is when to expect the plants of a sowing. Days are numbers counted
// from any day that the caller calls 0.
type ComeUp struct {
	First int64 // the first day on which any may show
	Last  int64 // the day by which they show where nothing holds them back
	Late  int64 // from this day on they are late
}

// ComeUpDays returns the published days from sowing to the first and the last
// plants of a species and their source; ok is false where the table has none.
func ComeUpDays(s Species) (first, last int, source Source, ok bool) {
	soon, final := s.Figures(firstCountFigure), s.Figures(finalCountFigure)
	if len(soon) == 0 || len(final) == 0 {
		return 0, 0, Source{}, false
	}
	low, _, plain := soon[0].Range()
	_, high, plainToo := final[0].Range()
	return int(low), int(high), final[0].Source, plain && plainToo
}

// ComeUpFrom returns the days to expect plants that were sown on a day and
// need from first to last days. It fails with a *RangeError for a day beyond
// ±100,000,000, first below 1, or last before first or over 1,000.
func ComeUpFrom(sown int64, first, last int) (ComeUp, error) {
	const longest = 1000
	switch {
	case sown < -latestDay || sown > latestDay:
		return ComeUp{}, refuse("day of sowing", sown, "from %d to %d", -latestDay, latestDay)
	case first < 1 || first > longest:
		return ComeUp{}, refuse("days to the first plants", first, "from 1 to %d", longest)
	case last < first || last > longest:
		return ComeUp{}, refuse("days to the last plants", last, "from %d to %d", first, longest)
	}
	return ComeUp{
		First: sown + int64(first),
		Last:  sown + int64(last),
		Late:  sown + int64(LateBeyond*last) + 1,
	}, nil
}

// Showing is what to think on a day when no plants show.
type Showing string

// What to think when no plants show.
const (
	TooSoon    Showing = "too soon to look"
	NotYetLate Showing = "not yet late"
	Late       Showing = "late"
)

// On returns what to think when no plants show on a day.
func (c ComeUp) On(day int64) Showing {
	switch {
	case day < c.First:
		return TooSoon
	case day < c.Late:
		return NotYetLate
	}
	return Late
}

// String gives the days from the day called 0.
func (c ComeUp) String() string {
	return fmt.Sprintf("day %d to %d, late from %d", c.First, c.Last, c.Late)
}
