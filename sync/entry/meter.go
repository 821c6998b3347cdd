package entry

import "turnrow/sync/units"

// MeterRead is a reading of a drill's counter, and the piece of ground that
// was worked since the reading before it.
type MeterRead struct {
	Drill   ID
	Reading units.Reading // in the counter's own unit
	Ground  ID
	Note    string
}

// CounterStood says where a drill's counter stood when work began: no acres
// follow from it.
type CounterStood struct {
	Drill   ID
	Reading units.Reading
	Ground  ID // that work begins on; zero where nobody said
	Why     string
}

// CounterReset says that a counter was set back or rolled over: it went from
// one reading to another with nothing worked between.
type CounterReset struct {
	Drill ID
	From  units.Reading // what it showed last
	To    units.Reading // what it showed then
	Why   string
}

// Kind of the body.
func (*MeterRead) Kind() Kind { return KindMeterRead }

// Fields of the body.
func (b *MeterRead) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Int(2, (*int64)(&b.Reading))
	f.Ref(3, &b.Ground)
	f.Text(4, &b.Note)
}

// Check the body's ranges.
func (b *MeterRead) Check() error {
	return first(given("drill", b.Drill), between("reading", b.Reading, 0, maxReading), text("note", b.Note, MaxText))
}

// Kind of the body.
func (*CounterReset) Kind() Kind { return KindCounterReset }

// Fields of the body.
func (b *CounterReset) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Int(2, (*int64)(&b.From))
	f.Int(3, (*int64)(&b.To))
	f.Text(4, &b.Why)
}

// Check the body's ranges.
func (b *CounterReset) Check() error {
	return first(given("drill", b.Drill), between("reading before", b.From, 0, maxReading),
		between("reading after", b.To, 0, maxReading), text("why", b.Why, MaxText))
}

// Kind of the body.
func (*CounterStood) Kind() Kind { return KindCounterStood }

// Fields of the body.
func (b *CounterStood) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Int(2, (*int64)(&b.Reading))
	f.Ref(3, &b.Ground)
	f.Text(4, &b.Why)
}

// Check the body's ranges.
func (b *CounterStood) Check() error {
	return first(given("drill", b.Drill), between("reading", b.Reading, 0, maxReading), text("why", b.Why, MaxText))
}
