package rate

import (
	"math"
	"slices"

	"turnrow/sync/units"
)

// GoWithin is how close, as a fraction either way, the rate must be known for
// the advice to go: a calibration passes within 5 % of its target (University
// of Massachusetts Amherst Extension, Rotary Spreader Calibration Procedures).
const GoWithin = 0.05

// What a dial's advice can be beside Go and CatchAgain.
const (
	// OutOfReach stands where a dial ends before the rate that is wanted.
	OutOfReach Decision = "out of reach"
	// WeighAgain stands where a run was weighed in the field and the rate is not
	// known well enough yet.
	WeighAgain Decision = "weigh again"
	// CatchElsewhere stands where a dial lies beyond the chart and the dials at
	// which seed was caught.
	CatchElsewhere Decision = "catch at another dial"
)

// DialChoice is where to set a dial for a rate.
type DialChoice struct {
	Dial      units.Dial   // where to set it
	Low, High units.Dial   // 90 % interval, no further than the dial goes
	Rate      RateEstimate // what the box gives at Dial
	Reached   bool         // false: the target is beyond the dial, Dial is its nearest end
	Next      Decision
	Why       string // the reason for Next, one clause
}

// At returns the natural logarithm of the rate (in g/m²) that the box gives at
// a dial, with its spread. It fails as RateAt does.
func (f Fit) At(d units.Dial) (log float64, s Spread, err error) {
	low, high := f.box.ends()
	if d < low || d > high {
		return 0, Spread{}, refuse("dial", d, "from %v to %v", low, high)
	}
	if !(f.shape.at(d.Float()) > 0) {
		return 0, Spread{}, refuse("dial", d, "where the box gives seed, by the %s", f.basis)
	}
	if f.offMarks(d) && !f.caughtHere(d) {
		return 0, Spread{}, refuse("dial", f.dialText(d), "a mark on the chart, or one at which seed was caught")
	}
	log, s = f.at(d.Float())
	return log, s, nil
}

// RateAt returns what the box gives at a dial. It fails with a *RangeError for
// a dial beyond the box's range, one at which the box gives nothing, or a mark
// that is neither on the chart nor one at which seed was caught.
func (f Fit) RateAt(d units.Dial) (RateEstimate, error) {
	log, s, err := f.At(d)
	if err != nil {
		return RateEstimate{}, err
	}
	return estimateAt(log+ln(1e6), s)
}

// at is At for a dial in marks. Beyond a chart that no catch has proved, the
// shape is as doubtful for each step as it is between catches.
func (f Fit) at(dial float64) (float64, Spread) {
	x := f.x(dial)
	log, s := f.line.at(x)
	if len(f.settings) == 0 {
		low, high := f.span()
		off := math.Max(0, math.Max(low-x, x-high))
		s = sumOf(s, known(bendSpread).Times(off))
	}
	return log, s
}

// span is how far chart and catches reach, as logarithms of the shape's rate.
func (f Fit) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range f.box.Chart {
		if p.Rate > 0 {
			low, high = math.Min(low, f.x(p.Dial.Float())), math.Max(high, f.x(p.Dial.Float()))
		}
	}
	for _, s := range f.settings {
		low, high = math.Min(low, s.x), math.Max(high, s.x)
	}
	return low, high
}

// Beyond says whether a dial lies outside the chart and the dials at which seed
// was caught, by more than 5 % of rate: only the shape's own course says what
// the box gives there.
func (f Fit) Beyond(d units.Dial) bool {
	low, high := f.span()
	x, slack := f.x(d.Float()), ln(1+GoWithin)
	return x < low-slack || x > high+slack
}

// DialFor returns the dial for a target rate, with the interval of dials that
// the target may need and the advice: go where the target is reached, the dial
// lies within the chart and the catches and the rate is known within GoWithin;
// otherwise what to do first. It fails with a *RangeError for a target that is
// not above zero.
func (f Fit) DialFor(target units.RatePerArea) (DialChoice, error) {
	if target <= 0 {
		return DialChoice{}, refuse("target rate", target, "more than 0")
	}
	log := ln(target.GramsPerSquareMetre())
	choice := DialChoice{Dial: f.seek(log, 0)}
	var err error
	if len(f.box.Marks) > 0 {
		if choice.Dial, err = f.nearestMark(target); err != nil {
			return DialChoice{}, err
		}
	}
	if choice.Rate, err = f.RateAt(choice.Dial); err != nil {
		return DialChoice{}, err
	}
	t := twoSidedT(Confidence, choice.Rate.Freedom)
	one, other := f.seek(log, t), f.seek(log, -t)
	choice.Low, choice.High = min(one, other), max(one, other)
	least, most := f.reach()
	const rounding = 0.5e-6 // g/m², of the target
	choice.Reached = least <= ln(target.GramsPerSquareMetre()+rounding) && ln(math.Max(rounding, target.GramsPerSquareMetre()-rounding)) <= most
	choice.Next, choice.Why = f.next(choice)
	return choice, nil
}

// nearestMark is the mark, of those that are known, at which the box gives what is
// nearest to a rate: nothing can be set between two.
func (f Fit) nearestMark(target units.RatePerArea) (units.Dial, error) {
	best, off, last := units.Dial(0), math.Inf(1), error(nil)
	for i := range f.box.Marks {
		d := units.Dial(i+1) * markStep
		r, err := f.RateAt(d)
		if err != nil {
			last = err
			continue
		}
		if o := Off(r.Rate, target); o < off {
			best, off = d, o
		}
	}
	if best == 0 {
		return 0, last
	}
	return best, nil
}

// reach is the least and the greatest logarithm of a rate that the dial gives.
func (f Fit) reach() (least, most float64) {
	if len(f.box.Marks) > 0 {
		least, most = math.Inf(1), math.Inf(-1)
		for i := range f.box.Marks {
			if log, _, err := f.At(units.Dial(i+1) * markStep); err == nil {
				least, most = math.Min(least, log), math.Max(most, log)
			}
		}
		return least, most
	}
	low, high := f.box.ends()
	a, _ := f.at(low.Float())
	b, _ := f.at(high.Float())
	return math.Min(a, b), math.Max(a, b)
}

// seek is the dial at which the box gives a rate, or that rate when it is off
// by so many standard deviations.
func (f Fit) seek(log, deviations float64) units.Dial {
	low, high := f.box.ends()
	from, to := low.Float(), high.Float()
	down := f.shape.at(from) > f.shape.at(to)
	mark := func(x float64) float64 {
		if down {
			return to - (x - from)
		}
		return x
	}
	x := bisect(from, to, log, func(x float64) float64 {
		centre, s := f.at(mark(x))
		return centre + float64(deviations*math.Max(math.Sqrt(s.Var), 0))
	})
	return units.Dial(math.Round(mark(x) * 1000))
}

// Next says what to do at a dial that is set for what it gives: go, or what to
// do first, and why. It fails as RateAt does.
func (f Fit) Next(d units.Dial) (Decision, string, error) {
	r, err := f.RateAt(d)
	if err != nil {
		return "", "", err
	}
	next, why := f.next(DialChoice{Dial: d, Rate: r, Reached: true})
	return next, why, nil
}

// next weighs a choice.
func (f Fit) next(c DialChoice) (Decision, string) {
	switch {
	case !c.Reached:
		return OutOfReach, "the dial ends before the target; this is the nearest rate it gives"
	case f.Catches() == 0:
		return CatchAgain, "nothing was caught yet"
	case !f.Agree():
		return CatchAgain, "by the catches less goes out as the dial opens"
	case f.Beyond(c.Dial):
		return CatchElsewhere, f.dialText(c.Dial) + " lies beyond the chart and the catches: catch there"
	case c.Rate.Half() <= GoWithin:
		return Go, "the rate is known within 5 %"
	}
	h := f.help(c.Dial)
	if h.Next == CatchThere {
		h.Next = "catch at " + Action(f.dialText(c.Dial))
	}
	return CatchAgain, "the rate is known to ±" + percentHalf(c.Rate.Half()) + "; " + h.words()
}

// NextWeighed says what to do at a dial of a box of which a run was weighed in the
// field, for the rate there: what was weighed stands above catches.
func (f Fit) NextWeighed(c DialChoice) (Decision, string) {
	switch {
	case !c.Reached:
		return OutOfReach, "the dial ends before the target; this is the nearest rate it gives"
	case c.Rate.Half() <= GoWithin:
		return Go, "the rate is known within 5 %"
	}
	return WeighAgain, "by what was weighed in the field the rate is known to ±" + percentHalf(c.Rate.Half()) + "; weigh what is left again after the next stretch"
}

// dialText names a dial as people set it: by its mark, or to a tenth.
func (f Fit) dialText(d units.Dial) string {
	if n := len(f.box.Marks); n > 0 {
		return "mark " + f.box.Marks[min(max(0, int((d+markStep/2)/markStep)-1), n-1)]
	}
	return "dial " + tenth(d)
}

// markStep is how far apart marks lie on a dial that has marks in place of
// numbers: the first is at 1.
const markStep units.Dial = 1000

// offMarks says whether a dial has marks and none that is known is at or around a
// setting: how one mark leads on to the next beyond the chart nobody can say, as
// 2-1 is not one more than 1-9.
func (f Fit) offMarks(d units.Dial) bool {
	if len(f.box.Marks) == 0 {
		return false
	}
	over, under := false, false
	for _, p := range f.box.Chart {
		over, under = over || p.Dial >= d, under || p.Dial <= d
	}
	return !over || !under
}

// caughtHere says whether seed was caught at a setting.
func (f Fit) caughtHere(d units.Dial) bool {
	return slices.ContainsFunc(f.settings, func(s setting) bool { return s.dial == d })
}

// tenth writes a dial to a tenth of a mark, as finely as one can be set.
func tenth(d units.Dial) string { return ((d + 50) / 100 * 100).String() }

// Reasons that a choice of a mark has, where a dial has marks in place of
// numbers, beside those of a fit.
const (
	NoMarkNear  = "no mark gives it within 5 %"
	LooseMark   = "the rate is not known within 5 % yet"
	CloseMark   = "the rate is known within 5 %"
	MarksCaught = "without a chart only marks that were caught at are known"
)
