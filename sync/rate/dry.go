package rate

import (
	"math"

	"turnrow/sync/units"
)

// Tail is the chance, on either side, of running dry before P10 and after P90.
const Tail = 0.10

// greatestArea bounds every area that is returned, in cm²: 10,000,000 ha.
const greatestArea = 1e15

// Dry is the ground that the whole drill can still cover until a compartment
// runs dry: with one chance in ten it does so before P10, with one in ten
// after P90.
type Dry struct {
	P10, P50, P90 units.Area
}

// How little an answer ever claims to be sure of, on either side: a tenth of an
// acre and five minutes. Nobody reads a counter, or works, closer than that.
const (
	acresFloor   units.Area = 4_046_856 // cm²
	minutesFloor float64    = 5
)

// Minutes returns the same as minutes of work at so much ground an hour, whole
// and rounded outwards, the pace itself uncertain by paceSpread. It fails with a
// *RangeError for a pace that is not above zero.
func (d Dry) Minutes(perHour units.Area) (p10, p50, p90 float64, err error) {
	if perHour <= 0 {
		return 0, 0, 0, refuse("ground done in an hour", perHour, "more than 0")
	}
	minutes := func(a units.Area) float64 { return float64(a) * 60 / float64(perHour) }
	p50 = minutes(d.P50)
	reach := normalQuantile(1 - Tail)
	slow, fast := float64(p50*(exp(float64(reach*paceSpread))-1)), float64(p50*(1-exp(-float64(reach*paceSpread))))
	down := inSquares(p50-minutes(d.P10), fast)
	up := inSquares(minutes(d.P90)-p50, slow)
	p10 = math.Floor(math.Max(0, p50-math.Max(minutesFloor, down)))
	return p10, p50, math.Ceil(p50 + math.Max(minutesFloor, up)), nil
}

// UntilDry returns, for each compartment, the ground until it runs dry at the
// rate of each, or at one rate for all (of all the rows that the box feeds),
// and which compartment runs dry first. The rate's error is taken as the one
// that the books were kept with: a box that gives more than thought both holds
// less and empties faster. It fails with a *RangeError for a rate that is not
// above zero or too uncertain to say anything (over half of it).
func (s Seed) UntilDry(rates ...Metering) (dry []Dry, first int, err error) {
	if len(rates) != 1 && len(rates) != len(s.Sides) {
		return nil, 0, refuse("number of rates", len(rates), "1, or %d, one for each compartment", len(s.Sides))
	}
	dry = make([]Dry, len(s.Sides))
	for i, side := range s.Sides {
		m := rates[min(i, len(rates)-1)]
		if err := checkSteady(m.RateEstimate); err != nil {
			return nil, 0, err
		}
		dry[i] = side.untilDry(s.part(i)*float64(m.Rate)*milligramsPerCm2, m)
		if dry[i].P50 < dry[first].P50 {
			first = i
		}
	}
	return dry, first, nil
}

// milligramsPerCm2 turns µg/m² into mg/cm².
const milligramsPerCm2 = 1e-7

// mostUncertain is the relative standard uncertainty beyond which a rate says
// nothing of when a box runs dry: t times it comes near the whole rate.
const mostUncertain = 0.5

func checkSteady(r RateEstimate) error {
	switch {
	case r.Rate <= 0:
		return refuse("rate", r.Rate, "more than 0")
	case !(r.Relative >= 0 && r.Relative <= mostUncertain):
		return refuse("relative uncertainty of the rate", r.Relative, "from 0 to %g", mostUncertain)
	case !(r.Freedom >= 1):
		return refuse("degrees of freedom of the rate", r.Freedom, "1 or more")
	}
	return nil
}

// part returns the share of the box's rows that compartment i feeds.
func (s Seed) part(i int) float64 {
	rows := 0
	for _, side := range s.Sides {
		rows += side.Rows
	}
	return float64(s.Sides[i].Rows) / float64(rows)
}

// untilDry returns the areas by which the compartment is dry with chances 0.1,
// 0.5 and 0.9, for seed in mg going out on each cm². What was in it less what
// went out, each by the rate's own ends, over what an area takes: the other
// uncertainties are added in squares on each side, the last reading once for what is
// left and for the rate that it tells.
func (s Side) untilDry(perArea float64, m Metering) Dry {
	mass, d := float64(s.mass), s.std
	if mass == 0 {
		return Dry{}
	}
	spread := m.Spread()
	if d.freedom > 0 {
		spread.DF = math.Min(spread.DF, d.freedom)
	}
	t := studentT(1-Tail, spread.DF)
	past, next := float64(t*math.Sqrt(d.spread().Var)), float64(t*math.Sqrt(spread.Var))
	base := mass + d.gone
	level := d.level + d.carried + float64(mass*m.Level)
	fixed := float64(t * math.Sqrt(d.loose+float64(level*level)))
	down := inSquares(mass-(base-float64(d.gone*exp(past)))/exp(next), fixed)
	up := inSquares((base-float64(d.gone*exp(-past)))/exp(-next)-mass, fixed)
	area := func(x float64) units.Area {
		return units.Area(math.Round(math.Min(greatestArea, math.Max(0, x/perArea))))
	}
	dry := Dry{P10: area(mass - down), P50: area(mass), P90: area(mass + up)}
	dry.P10 = max(0, min(dry.P10, dry.P50-acresFloor))
	dry.P90 = max(dry.P90, dry.P50+acresFloor)
	return dry
}

// inSquares adds two uncertainties that do not depend on one another.
func inSquares(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }
