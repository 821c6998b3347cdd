package rate

import (
	"math"

	"turnrow/sync/units"
)

// Crank is what is known of a box at a dial before any of its seed is weighed
// in the field.
type Crank struct {
	Standing RateEstimate // from catches at a standstill, or from the chart alone
	Caught   bool         // a catch is behind Standing
	// Moving is from catches while the drill was pulled over ground; nil where
	// there is none.
	Moving *RateEstimate
	// Driven says that Standing is itself from catches while the drill moved,
	// and none at a standstill: it is the field's own rate.
	Driven bool
	// Weighed says that Standing is itself from weighed stretches, for a box
	// with neither chart nor catch.
	Weighed bool
}

// Field is what a box gives in the field at one dial. A drill in a field does
// not give what it gave on the jack: fieldShare of it, give or take
// fieldSpread; and its counter does not count true acres.
type Field struct {
	Ground  RateEstimate // to the true area
	Counter RateEstimate // to the counter's area: what empties the box
	// Gain is how much of Counter comes from weighed stretches: 0 where none
	// was, near 1 once one was.
	Gain float64
	// Level is how much of Counter's uncertainty, as a share of the rate, comes from
	// the last level that was weighed; without that, it is Rest.
	Level float64
	Rest  Spread

	crank Crank
	bare  prior // before anything was weighed
}

// prior is a centre and what it rests on.
type prior struct {
	centre  float64
	ground  Spread
	counter float64 // variance of the counter's error
}

// leastFieldFreedom is the fewest degrees of freedom of a rate in the field once
// a stretch was weighed.
const leastFieldFreedom = 8

// FieldOf works out what a box gives in the field. outs are the weighed
// stretches that tell of it, each of stretches joined end to end, the last one
// the latest; checked says that the counter was held against a mapped piece.
//
// The crank's rate times fieldShare is the guess. Where a weighed stretch
// contradicts it, fieldSpread gives way (see yield), and guess and stretches are
// joined by inverse variance. It fails with a *RangeError for a rate that is
// out of range.
func FieldOf(c Crank, outs []Out, checked bool) (Field, error) {
	for _, r := range rates(c, outs) {
		if err := checkSteady(r); err != nil {
			return Field{}, err
		}
	}
	f := Field{crank: c, bare: priorOf(c, checked)}
	if len(outs) == 0 {
		return f, f.settle(f.bare, 0, 0)
	}
	shown := weigh(outs)
	bare := f.bare
	if !c.Weighed && !c.Driven {
		off := shown.centre - bare.centre
		rest := bare.ground.Var - known(fieldSpread).Var + bare.counter + shown.e
		bare.ground.Var += yield(known(fieldSpread).Var, off, rest) - known(fieldSpread).Var
	}
	f.Level = shown.level
	return f, f.settle(bare, shown.centre, shown.e)
}

func rates(c Crank, outs []Out) []RateEstimate {
	list := []RateEstimate{c.Standing}
	if c.Moving != nil {
		list = append(list, *c.Moving)
	}
	for _, o := range outs {
		list = append(list, o.Rate)
	}
	return list
}

// counterError is the spread of the counter's constant error.
func counterError(checked bool) Spread {
	if checked {
		return known(checkedCounterSpread)
	}
	return known(counterSpread)
}

// OnGround returns the rate that seed comes to on the ground that the counter
// says, the counter's own error included. checked is as for FieldOf. It fails
// with a *RangeError for a mass or an area that is not above zero, and an uncertainty
// below it.
func OnGround(seed Weighed, area units.Area, checked bool) (RateEstimate, error) {
	switch {
	case seed.Mass <= 0 || seed.Mass > greatestMass:
		return RateEstimate{}, refuse("seed on the ground", seed.Mass, "more than 0 and up to 1,000,000 t")
	case seed.Std < 0:
		return RateEstimate{}, refuse("uncertainty of the seed on the ground", seed.Std, "0 or more")
	case area <= 0 || area > greatestArea:
		return RateEstimate{}, refuse("area sown", area, "more than 0 and up to 10,000,000 ha")
	}
	own := float64(seed.Std) / float64(seed.Mass)
	return estimateAt(ln(float64(float64(seed.Mass)*1000)/area.SquareMetres()), sumOf(known(own), counterError(checked)))
}

// priorOf is what crank and chart say of the field.
func priorOf(c Crank, checked bool) prior {
	p := prior{centre: c.Standing.log(), ground: c.Standing.Spread(), counter: counterError(checked).Var}
	if c.Weighed {
		p.ground = sumOf(p.ground, Spread{p.counter, Known}) // what is weighed is by the counter's acre
		return p
	}
	if c.Driven {
		return p
	}
	if c.Caught {
		p.centre += ln(fieldShare)
	}
	p.ground = sumOf(p.ground, known(fieldSpread))
	if m := c.Moving; m != nil {
		a, b := p.ground, m.Spread()
		w := 1.0
		if a.Var+b.Var > 0 {
			w = b.Var / (a.Var + b.Var)
		}
		p.centre += float64((1 - w) * (m.log() - p.centre))
		p.ground = sumOf(a.Times(w), b.Times(1-w))
	}
	return p
}

// shownOut is what weighed stretches show together.
type shownOut struct {
	centre, e, level float64
}

// weigh joins stretches that are not end to end by inverse variance.
func weigh(outs []Out) (s shownOut) {
	sum := 0.0
	for _, o := range outs {
		w := 1 / o.Rate.Spread().Var
		sum += w
		s.centre += float64(w * o.Rate.log())
	}
	last := outs[len(outs)-1]
	return shownOut{s.centre / sum, 1 / sum, last.Level / (sum * last.Rate.Spread().Var)}
}

// settle joins the guess with what was weighed, whose variance is e; 0 stands
// for nothing weighed.
func (f *Field) settle(p prior, centre, e float64) (err error) {
	perCounter := sumOf(p.ground, Spread{p.counter, Known})
	if f.crank.Weighed {
		return f.bySelf(p)
	}
	if e == 0 {
		f.Rest = perCounter
		if f.Ground, err = estimateAt(p.centre, p.ground); err == nil {
			f.Counter, err = estimateAt(p.centre, perCounter)
		}
		return err
	}
	all := perCounter.Var + e
	f.Gain = perCounter.Var / all
	f.Level *= f.Gain
	weighed := math.Max(0, float64(f.Gain*f.Gain*e)-float64(f.Level*f.Level))
	f.Rest = atLeast(sumOf(perCounter.Times(1-f.Gain), Spread{weighed, Known}))
	counter := atLeast(sumOf(perCounter.Times(1-f.Gain), Spread{float64(f.Gain * f.Gain * e), Known}))
	if f.Counter, err = estimateAt(p.centre+float64(f.Gain*(centre-p.centre)), counter); err != nil {
		return err
	}
	w := p.ground.Var / all
	ground := sumOf(p.ground.Times(1-w), Spread{float64(w * w * (p.counter + e)), Known})
	ground.DF = math.Max(leastFieldFreedom, f.crank.Standing.Freedom) // the counter's error is a guess too
	f.Ground, err = estimateAt(p.centre+float64(w*(centre-p.centre)), ground)
	return err
}

// bySelf is the field of a box of which nothing but weighed stretches is known.
func (f *Field) bySelf(p prior) (err error) {
	f.Gain, f.Rest = 1, f.crank.Standing.Spread()
	f.Counter = f.crank.Standing
	f.Ground, err = estimateAt(p.centre, p.ground)
	return err
}

// atLeast gives a spread the degrees of freedom that weighing leaves.
func atLeast(s Spread) Spread { return Spread{s.Var, math.Max(leastFieldFreedom, s.DF)} }

// Drift says how far what went out over a stretch lies from what crank and
// chart said before it: the change is from the crank's own rate, its certainty
// from what a field may differ by.
func (f Field) Drift(o Out) (Drift, error) {
	if err := checkSteady(o.Rate); err != nil {
		return Drift{}, err
	}
	off := sumOf(f.bare.ground, Spread{f.bare.counter, Known}, o.Rate.Spread())
	moved := o.Rate.log() - f.bare.centre
	return driftBy(o.Rate.log()-f.crank.Standing.log(), sumOf(f.crank.Standing.Spread(), o.Rate.Spread()), moved, off), nil
}

// Metering is what a box's books go by: the rate to the counter's area.
type Metering struct {
	RateEstimate
	// Level is how much of the rate's uncertainty, as a share of it, is that of the
	// level which stands in the box; the rest is in RateEstimate.
	Level float64
}

// Metering returns what the box's books go by. level says that what was
// weighed last is what the box's content rests on. One stretch of ground
// differs from the next by stretchSpread.
func (f Field) Metering(level bool) Metering {
	m := Metering{RateEstimate: f.Counter}
	s := sumOf(f.Counter.Spread(), known(stretchSpread))
	if level {
		m.Level = f.Level
		s = sumOf(f.Rest, known(stretchSpread))
	}
	m.Relative, m.Freedom = math.Sqrt(s.Var), s.DF
	return m
}
