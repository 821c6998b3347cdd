package trial

import "math"

// A pound in grams and an acre in square metres (NIST Handbook 44, appendix
// C), a foot and an inch in metres.
const (
	Pound = 453.59237
	Acre  = 4046.8564224
	Foot  = 0.3048
	Inch  = 0.0254
)

// Law says how one property of drills is spread: flat from Low to High, or
// normal where SD is given.
type Law struct{ Low, High, Mean, SD float64 }

// Exactly is a property that all drills share.
func Exactly(x float64) Law { return Law{Low: x, High: x} }

// Draw one drill's.
func (l Law) Draw(d Draw) float64 {
	if l.SD > 0 {
		return d.Normal(l.Mean, l.SD)
	}
	return d.Flat(l.Low, l.High)
}

// Centre of the law.
func (l Law) Centre() float64 {
	if l.SD > 0 {
		return l.Mean
	}
	return (l.Low + l.High) / 2
}

// Variance of the law.
func (l Law) Variance() float64 { return l.SD*l.SD + (l.High-l.Low)*(l.High-l.Low)/12 }

// What has been published of drills.
var (
	// Repeat is the CV of repeat catches at one setting: 0.3 to 2.1 % with
	// vetch, 1.0 to 5.5 % with barley and its mixes (Yazgi et al., PeerJ
	// 13:e19014, 2025); 0.8 to 3.7 % with mixes (Yazgi et al., Applied
	// Engineering in Agriculture 33(1), 2017).
	Repeat = Law{Low: 0.003, High: 0.055}
	// RowCV is the CV between rows: 4.2 to 10.7 % (Yazgi 2025), 1.1 to 8.9 %
	// (Yazgi 2017).
	RowCV = Law{Low: 0.011, High: 0.107}
	// FieldDrawn, FieldLow and FieldRound are what the field gives of what the
	// crank gave. Standing catches overstated it for all five kinds tried: 95 %
	// sorghum, 88 % millet, 96 % sesame, others from 85 % (Yousif, Gezira
	// Journal of Agricultural Science, article 575). That is one station: so
	// once drawn about its upper end, once flat over it, and once flat about 1.
	FieldDrawn = Law{Mean: 0.96, SD: 0.07}
	FieldLow   = Law{Low: 0.85, High: 0.96}
	FieldRound = Law{Low: 0.90, High: 1.10}
	// Counter is the error of an acre counter that lasts. Skid of 4.53 % was
	// measured of one wheel (Nirala, International Journal of Agricultural
	// Engineering 4(2), 2011); that drills' counters spread by 3 % is ours.
	Counter = Law{Mean: 0, SD: 0.03}
	// Roll is the error of the measured rolling circumference: common practice,
	// no source.
	Roll = Law{Mean: 0, SD: 0.01}
	// Stretch is how a stretch of ground differs from the next at one setting:
	// none published, ours.
	Stretch = Law{Low: 0, High: 0.02}
	// Scale is how far off a weighed level is, one standard deviation: a scale
	// that trade may use is within 0.3 % (NIST Handbook 44, section 2.20, class
	// III, two divisions of 501 to 2,000); of farms' scales, and of what sticks
	// and spills, none was published: up to 1.5 % is ours.
	Scale = Law{Low: 0.003, High: 0.015}
)

// Drills says how drills are spread.
type Drills struct{ Repeat, RowCV, Field, Counter, Roll, Stretch, Scale Law }

// Published is the spread of drills that was published, with field as the law
// of its factor.
func Published(field Law) Drills {
	return Drills{Repeat: Repeat, RowCV: RowCV, Field: field, Counter: Counter, Roll: Roll, Stretch: Stretch, Scale: Scale}
}

// The drill that every world has: its seed box feeds all rows.
const (
	DrillRows  = 16
	RowSpacing = 7.5 * Inch
	RollTold   = 8*Foot + 2*Inch // of the wheel, as the crew measured it
)

// Drill is one drill, as it truly is.
type Drill struct {
	Rate    float64   // g/m² that cranking gives over all rows in the long run
	Repeat  float64   // CV of whole catches
	RowCV   float64   // that its rows were drawn with
	Rows    []float64 // what each row gives, over the mean of all
	Roll    float64   // metres a turn
	Field   float64   // what the field gives, over Rate
	Counter float64   // acres that the counter shows for a true one
	Stretch float64   // CV of what stretches of field get
	Scale   float64   // standard deviation of what is weighed in the field
	Worn    float64   // what the field gives now over what it gave; 0 stands for 1
}

// Draw a drill that cranks so many g/m².
func (p Drills) Draw(d Draw, rate float64) Drill {
	m := Drill{
		Rate: rate, Repeat: p.Repeat.Draw(d), RowCV: p.RowCV.Draw(d), Roll: RollTold * (1 + p.Roll.Draw(d)),
		Field: p.Field.Draw(d), Counter: 1 + p.Counter.Draw(d), Stretch: p.Stretch.Draw(d), Scale: p.Scale.Draw(d),
		Rows: make([]float64, DrillRows),
	}
	sum := 0.0
	for i := range m.Rows {
		m.Rows[i] = math.Max(0, d.Normal(1, m.RowCV))
		sum += m.Rows[i]
	}
	for i := range m.Rows {
		m.Rows[i] *= DrillRows / sum
	}
	return m
}
