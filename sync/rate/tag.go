package rate

import (
	"math"

	"turnrow/sync/units"
)

// Live is live seed as a fraction of the mass in the bag, above 0 and up to 1.
type Live float64

// LiveFrom takes a live share that somebody already worked out. It fails with
// a RangeError for none.
func LiveFrom(s units.Share) (Live, error) {
	live := Live(s.Fraction())
	return live, live.check()
}

func (l Live) check() error {
	if !(l > 0 && l <= 1) { // also catches NaN
		return refuse("live share", percent(float64(l)), "more than 0 %% and at most 100 %%")
	}
	return nil
}

// Share gives the live share as a whole number of its unit.
func (l Live) Share() units.Share { return units.Share(math.Round(float64(l) * 1e5)) }

// Tag is what the tag on a bag says about its seed.
type Tag struct {
	Purity      units.Share // pure seed by mass: of all that is in the bag, or without its coating; see Counted
	Germination units.Share
	Hard        units.Share // hard or dormant seed, beside the germination
	HardLeftOut units.Share // the part of the hard seed that does not count as live
	Coating     units.Share // coating by mass of all that is in the bag, where the tag tells it
	OtherCrop   units.Share // as for Purity, 0 where the tag does not say
	WeedSeed    units.Share
	Inert       units.Share
	Counted     CoatingCounted // what somebody said that Purity is a share of
}

// Live is the live share of what is in the bag:
// purity × (germination + hard seed that counts), and × (1 − coating) where
// the purity is of the seed without its coating: a coating that the purity
// counts already never comes off a second time. Purity lies above 0 and up to
// 100 %, germination and hard seed together above 0 and up to 100 %, coating
// from 0 to below 100 %; anything else is a RangeError, and a tag that does not
// tell what its purity is a share of a *CoatingUnclear. Sources: Penn State,
// Center for Turfgrass Science (purity × germination); 7 CFR 201.46(d) and
// 201.51b(f) (coating by mass, as inert matter).
func (t Tag) Live() (Live, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	counted, err := t.CountedCoating()
	if err != nil {
		return 0, err
	}
	if _, _, err := t.bare(); err != nil {
		return 0, err
	}
	live := Live(t.Purity.Fraction() * t.sprouting())
	if counted == CoatingApart {
		live = Live(float64(live) * (1 - t.Coating.Fraction()))
	}
	return live, live.check()
}

// BareLive is the live share of the seed without its coating, and the share
// to use for whoever sows the same mass coated or not. Its ranges are Live's.
func (t Tag) BareLive() (Live, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	pure, _, err := t.bare()
	if err != nil {
		return 0, err
	}
	live := Live(pure * t.sprouting())
	return live, live.check()
}

// sprouting is germination plus the hard seed that counts, as a fraction.
func (t Tag) sprouting() float64 {
	return t.Germination.Fraction() + float64(t.Hard.Fraction()*(1-t.HardLeftOut.Fraction()))
}

func (t Tag) check() error {
	switch {
	case t.Purity <= 0 || t.Purity > units.Whole:
		return refuse("purity", t.Purity, "more than 0%% and at most 100%%")
	case t.Germination < 0 || t.Germination > units.Whole:
		return refuse("germination", t.Germination, "from 0%% to 100%%")
	case t.Hard < 0 || t.Hard > units.Whole-t.Germination:
		return refuse("hard seed", t.Hard, "from 0%% to %v, so that with a germination of %v it is at most 100%%",
			units.Whole-t.Germination, t.Germination)
	case t.HardLeftOut < 0 || t.HardLeftOut > units.Whole:
		return refuse("hard seed left out", t.HardLeftOut, "from 0%% to 100%%")
	case t.Coating < 0 || t.Coating >= units.Whole:
		return refuse("coating", t.Coating, "from 0%% to below 100%%")
	}
	return nil
}

// Cautions are what the tag itself gives reason to look at again.
func (t Tag) Cautions() []Caution {
	var list []Caution
	if t.Coating > 0 {
		list = append(list, Caution{
			Text: "advice on coated seed is split: sow by live seed, or the same mass coated or not; both rates are shown",
			Source: "Undersander, University of Wisconsin (live seed); " +
				"University of Kentucky Extension (same mass)"})
	}
	if _, err := t.CountedCoating(); err != nil {
		list = append(list, Caution{Text: err.Error(), Source: "7 CFR 201.51b(f): coating counts as inert matter"})
	}
	return list
}

// Explain writes the sum of Live.
func (t Tag) Explain(system units.System) ([]string, error) {
	live, err := t.Live()
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	sprouting := figure(float64(t.sprouting()*100), 6) + " %"
	switch {
	case t.HardLeftOut > 0:
		p.line("live of pure seed = germination %s + hard seed %s × %s that counts = %s",
			partOf(t.Germination), partOf(t.Hard), partOf(units.Whole-t.HardLeftOut), sprouting)
	case t.Hard > 0:
		p.line("live of pure seed = germination %s + hard seed %s = %s", partOf(t.Germination), partOf(t.Hard), sprouting)
	}
	if t.Coating == 0 {
		p.line("live share = purity %s × %s = %s", partOf(t.Purity), sprouting, partOf(live.Share()))
		return p.lines, nil
	}
	if counted, _ := t.CountedCoating(); counted == CoatingIn {
		p.line("live share = purity %s × %s = %s; the purity is of the bag with its coating (%s), which does not come off again",
			partOf(t.Purity), sprouting, partOf(live.Share()), partOf(t.Coating))
		return p.lines, nil
	}
	bare := partOf(units.Whole - t.Coating)
	p.line("seed without coating = 100 %% − %s = %s", partOf(t.Coating), bare)
	p.line("live share = %s × purity %s × %s = %s", bare, partOf(t.Purity), sprouting, partOf(live.Share()))
	return p.lines, nil
}

// TestMonth is a month in which seed was tested, or is to be sown.
type TestMonth struct{ Year, Month int }

// The states' limits on the age of a germination test, in months.
const (
	shortestTestLimit = 9
	longestTestLimit  = 15
)

// OldTest gives a caution where a germination test is more than limit months
// old, counted without the month of the test itself, and none where it is not.
// The limit is the tag's state's, 9 to 15 months; a test after the sowing
// month, a month outside 1 to 12 or another limit is a RangeError.
// Pennsylvania's Department of Environmental Protection wants no seed sown
// later than one year after its test. Leaving out the month of the test
// follows the Federal Seed Act (from memory).
func OldTest(tested, sown TestMonth, limit int) (*Caution, error) {
	for _, m := range []TestMonth{tested, sown} {
		if m.Month < 1 || m.Month > 12 {
			return nil, refuse("month", m.Month, "from 1 to 12")
		}
	}
	if limit < shortestTestLimit || limit > longestTestLimit {
		return nil, refuse("limit on a test's age", limit, "from %d to %d months", shortestTestLimit, longestTestLimit)
	}
	age := 12*(sown.Year-tested.Year) + sown.Month - tested.Month
	if age < 0 {
		return nil, refuse("test date", figure(float64(-age), 4)+" months after sowing", "before it")
	}
	if age-1 <= limit {
		return nil, nil
	}
	return &Caution{
		Text: figure(float64(age-1), 4) + " full months since the germination test, over the limit of " +
			figure(float64(limit), 2) + ": test again, or sow more",
		Source: "state seed laws; Pennsylvania Department of Environmental Protection (one year)"}, nil
}
