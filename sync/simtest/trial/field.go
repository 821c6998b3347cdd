package trial

import "math"

// What people and their scales in the field are taken to be off by: none was
// published, all are ours.
const (
	bagWithin   = 0.01      // a bag holds what it says to within so much, flat
	levelStep   = Pound     // a scale reads levels in such steps
	eighths     = 8         // a level by eye is told in eighths of full
	eyeSD       = 0.04      // of full, beside the eighths
	counterStep = 0.1       // acres
	flat        = 1.0 / 3.0 // variance of a flat law of half-width 1
)

// Field is one box of a drill on its way over the ground, as it truly is.
type Field struct {
	Drill
	Seed  float64 // grams in the box
	Acres float64 // worked, as the counter has them, to its last decimal and beyond
	rest  float64 // what the stretch under way gives over others
}

// NewField is an empty box of a drill at a counter set to 0.
func NewField(d Draw, m Drill) *Field {
	f := &Field{Drill: m}
	f.turn(d)
	return f
}

// turn begins another stretch.
func (f *Field) turn(d Draw) { f.rest = d.Normal(1, f.Stretch) }

// Pour so many grams by what the bags say.
func (f *Field) Pour(d Draw, told float64) { f.Seed += told * (1 + d.Flat(-bagWithin, bagWithin)) }

// perAcre is what goes out over an acre of the counter, in grams.
func (f *Field) perAcre() float64 {
	worn := f.Worn
	if worn == 0 {
		worn = 1
	}
	return f.Rate * f.Drill.Field * worn * f.rest * Acre / f.Counter
}

// PerAcre is the rate that truly goes out over an acre of the counter, from
// one stretch to the next, in grams.
func (f *Field) PerAcre() float64 { return f.perAcre() / f.rest }

// Dry is how many acres the counter will show until the box is dry.
func (f *Field) Dry() float64 { return f.Seed / f.perAcre() }

// Work one stretch until the counter shows so many acres more, or the box is
// dry; another begins then.
func (f *Field) Work(d Draw, acres float64) {
	acres = math.Min(acres, f.Dry())
	f.Seed -= acres * f.perAcre()
	f.Acres += acres
	f.turn(d)
}

// Reading is what the counter shows, in acres: whole tenths.
func (f *Field) Reading() float64 { return math.Floor(f.Acres/counterStep) * counterStep }

// ToTenth is a stretch that ends where the counter turns to a tenth.
func ToTenth(acres float64) float64 { return math.Max(1, math.Round(acres/counterStep)) * counterStep }

// Weigh what is in the box: out, on a hanging scale, and back in.
func (f *Field) Weigh(d Draw) float64 {
	return math.Round(f.Seed*d.Normal(1, f.Scale)/levelStep) * levelStep
}

// Look how full the box is, that holds so many grams: a share of full.
func (f *Field) Look(d Draw, full float64) float64 {
	share := math.Round((f.Seed/full+d.Normal(0, eyeSD))*eighths) / eighths
	return math.Min(1, math.Max(0, share))
}

// Oracle knows the noise of the drill and of the crew; of fields and counters
// it knows how they are spread, not what this drill's are.
type Oracle struct {
	Crank   float64 // variance of the mean of the catches, relative
	Stretch float64 // CV
	Scale   float64 // standard deviation of a weighed level, relative
}

// field is the relative variance of field factors.
func (Oracle) field() float64 {
	return FieldDrawn.Variance() / (FieldDrawn.Centre() * FieldDrawn.Centre())
}

// prior is the relative variance of the rate to an acre of the counter, by
// catches alone.
func (o Oracle) prior() float64 { return o.Crank + o.field() + Counter.Variance() }

// Run is a stretch between two known contents: what was poured, what was left,
// what went, in grams.
type Run struct{ Poured, Left, Gone float64 }

// level is the standard deviation in grams of a weighed level.
func (o Oracle) level(r Run) float64 { return math.Hypot(r.Left*o.Scale, levelStep/math.Sqrt(12)) }

// own is the relative variance of the rate that a run shows, but for the level
// that ends it.
func (o Oracle) own(r Run) float64 {
	return o.Stretch*o.Stretch + math.Pow(r.Poured*bagWithin/r.Gone, 2)*flat
}

// Before any run was weighed: the relative standard deviation of what was
// poured over the rate.
func (o Oracle) Before() float64 {
	return math.Sqrt(o.prior() + o.Stretch*o.Stretch + bagWithin*bagWithin*flat)
}

// After a weighed run: the standard deviations of the seed left over the rate
// (relative), and of the seed left after more has gone (in grams). The weighed
// level is both what is there and part of the rate.
func (o Oracle) After(r Run, more float64) (dry, left float64) {
	u := o.level(r)
	w := o.prior() / (o.prior() + o.own(r) + u*u/(r.Gone*r.Gone))
	rate := (1-w)*(1-w)*o.prior() + w*w*o.own(r) + o.Stretch*o.Stretch
	dry = math.Sqrt(rate + math.Pow(u*(1/r.Left+w/r.Gone), 2))
	left = math.Sqrt(more*more*rate + math.Pow(u*(1+w*more/r.Gone), 2))
	return dry, left
}

// Ground is the relative standard deviation of the rate to the true acre after
// a weighed run: the counter's own error stays.
func (o Oracle) Ground(r Run) float64 {
	known, shown := o.Crank+o.field(), Counter.Variance()+o.own(r)+math.Pow(o.level(r)/r.Gone, 2)
	return math.Sqrt(known * shown / (known + shown))
}
