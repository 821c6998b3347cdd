package trial_test

import (
	"math"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/rate"
	"turnrow/sync/simtest/trial"
	"turnrow/sync/units"
)

// day is a crew's record of a day, folded as it is written: entries in, what
// the farm's view says out. One device writes all of it.
type day struct {
	state  *farm.State
	device entry.DeviceID
	seq    uint64
	wall   int64

	drill, box, lot, ground entry.ID
}

// write an entry, four minutes after the last.
func (r *day) write(b entry.Body) entry.ID {
	if err := b.Check(); err != nil {
		panic(err)
	}
	r.seq++
	r.wall += 4 * 60 * 1000
	id := entry.ID{Log: r.device.Log(), Seq: r.seq}
	r.state.Apply(entry.Entry{ID: id, Clock: hlc.Next(0, r.wall), Wall: r.wall, Body: b})
	return id
}

func some[T any](v T) entry.Opt[T] { return entry.Opt[T]{Set: true, Val: v} }

const (
	dialSet = 50     // where the box's dial stands all day
	bushels = 24     // that the box holds
	bushel  = 35.239 // litres
	// oatBushel is what a bushel of oats weighs in grams (Indiana Code
	// 24-6-1-1: 32 lb).
	oatBushel = 32 * trial.Pound
	boxFull   = bushels * oatBushel
)

// begin a day on a piece so large that it does not end, with a chart that says
// so many g/m² at the dial.
func begin(chart float64) *day {
	r := &day{device: entry.DeviceID{0: 1, 6: 0x70, 8: 0x80, 15: 1}, wall: 1_789_372_800_000}
	r.state = farm.New(entry.FoundedBy(r.device, entry.Key{1}, entry.Key{1}))
	r.write(&entry.FarmFounded{Name: "Trial", Owner: "Ada", Key: entry.Key{1}, Paper: entry.Key{1}, DeviceName: "cab", TimeZone: "UTC"})
	r.drill = r.write(&entry.DrillSet{Name: some("drill"), Rows: some(int64(trial.DrillRows)), Counter: entry.CountsAcres,
		Spacing: some(must(units.LengthFromMetres(trial.RowSpacing))), Roll: some(must(units.LengthFromMetres(trial.RollTold)))})
	r.box = r.write(&entry.BoxSet{Drill: r.drill, Name: some("box"), DialFrom: some(units.Dial(0)), DialTo: some(units.Dial(marks * 1000)),
		Capacity: some(units.Volume(math.Round(bushels * bushel * 1000)))})
	for x := 20.0; x <= 80; x += 20 {
		r.write(&entry.ChartPointSet{Box: r.box, Species: "oat", Dial: units.Dial(x * 1000),
			Rate: must(units.RateFromGramsPerSquareMetre(chart * x / dialSet))})
	}
	r.lot = r.write(&entry.LotSet{Name: some("oats"), Species: some("oat"), Bag: some(must(units.MassFromPounds(50)))})
	r.ground = r.write(&entry.GroundSet{Name: some("piece"), Area: some(must(units.AreaFromAcres(900)))})
	r.write(&entry.DialMoved{Box: r.box, To: dialSet * 1000})
	return r
}

func (r *day) caught(c trial.Crank, grams []float64) {
	for _, b := range r.catches(c, grams) {
		r.write(b)
	}
}

// catches are entries of their own.
func (r *day) catches(c trial.Crank, grams []float64) (list []entry.Body) {
	for _, g := range grams {
		list = append(list, &entry.Caught{Box: r.box, Lot: r.lot, Dial: dialSet * 1000, Turns: units.Turns(c.Turns * 1000), Rows: int64(c.Rows),
			Masses: []units.Mass{must(units.MassFromGrams(g))}, Resolution: must(units.MassFromGrams(c.Step)), Way: entry.Standing})
	}
	return list
}

// asks is how many questions a body raises before it is written.
func (r *day) asks(b entry.Body) int {
	return len(r.state.Unlikely(farm.Writer{Device: r.device, Wall: r.wall + 4*60*1000}, b))
}

// reading is in acres.
func (r *day) reading(acres float64) {
	r.write(&entry.MeterRead{Drill: r.drill, Ground: r.ground, Reading: units.Reading(math.Round(acres * 1000))})
}

func (r *day) filled(grams float64) {
	r.write(&entry.Filled{Box: r.box, Lot: r.lot, Mass: must(units.MassFromGrams(grams))})
}

func (r *day) weighed(grams float64) entry.ID {
	return r.write(&entry.LevelRead{Box: r.box, Mass: some(must(units.MassFromGrams(grams)))})
}

func (r *day) looked(share float64) entry.ID {
	return r.write(&entry.LevelRead{Box: r.box, Share: some(must(units.ShareFromFraction(share)))})
}

// outlook is what the crew reads of the box.
type outlook struct {
	dryLow, dryHigh   float64 // acres of the counter, 80 %
	dry               bool    // stated at all
	leftLow, leftHigh float64 // grams, 90 %
	field             stated  // to the true area, 90 %
	caught, moved     drift   // the last weighed run against the catches, and against runs before it
}

// drift says whether a run differs.
type drift struct{ likely, sure bool }

func driftOf(d *rate.Drift) drift {
	if d == nil {
		return drift{}
	}
	return drift{d.Likely(), d.Sure()}
}

func (r *day) look() outlook {
	v := r.state.View()
	b, _ := v.BoxOf(r.box)
	o := outlook{leftLow: b.LeftLow.Grams(), leftHigh: b.LeftHigh.Grams(), caught: driftOf(b.Drift), moved: driftOf(b.Moved)}
	if a := b.AcresLeft; a != nil {
		o.dry, o.dryLow, o.dryHigh = true, a.P10.Acres(), a.P90.Acres()
	}
	if b.Field != nil {
		o.field = statedOf(*b.Field)
	}
	return o
}

// rings says whether a balance doubt is about an entry.
func (r *day) rings(id entry.ID) bool {
	for d := range r.state.View().Doubts() {
		if d.Kind == farm.Balance && slices.Contains(d.Entries, id) {
			return true
		}
	}
	return false
}
