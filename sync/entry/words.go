package entry

import "turnrow/sync/units"

// Noted is a note, about something or about the day.
type Noted struct {
	Text  string
	About ID // zero for the day
}

// Amended puts another body in the place of an entry's own. The original stays
// in the audit.
type Amended struct {
	Entry ID
	Why   string
	Body  Body // of the entry's own kind
}

// Struck takes an entry out of the state, not out of the audit.
type Struck struct {
	Entry ID
	Why   string
}

// Settled settles a doubt: of the entries behind it, which one stands.
type Settled struct {
	Doubt   string          // its kind, such as "two-settings"
	Entries []ID            // all the entries behind the doubt
	Stands  []ID            // those that stand; none where Dial or Choice says it
	Dial    Opt[units.Dial] // what the person read on the dial itself
	Why     string
	Choice  string     // what was chosen, in a word, where it is neither an entry nor a dial
	Value   Opt[int64] // the figure that goes with the choice, in the unit of what is in doubt
}

// Words that a settlement can choose.
const (
	AsWritten = "as-written" // it is right as it was written, unlikely as it is
	Instead   = "instead"    // Value was meant
	Blended   = "blended"    // two seeds in one box are mixed, by mass
	Layered   = "layered"    // one seed lies above the other
	BeganAt   = "began-at"   // the counter stood at Value when work began
	SetBack   = "set-back"   // the counter was set back, or another put in: work goes on from Value
)

// Kind of the body.
func (*Noted) Kind() Kind { return KindNoted }

// Fields of the body.
func (b *Noted) Fields(f Fields) {
	f.Text(1, &b.Text)
	f.Ref(2, &b.About)
}

// Check the body's ranges.
func (b *Noted) Check() error { return named("note", b.Text, MaxText) }

// Kind of the body.
func (*Amended) Kind() Kind { return KindAmended }

// Fields of the body. The body within stands under 100 and its own number.
func (b *Amended) Fields(f Fields) {
	f.Ref(1, &b.Entry)
	f.Text(2, &b.Why)
	b.Body = f.Body(amendedBase, b.Body)
}

// Check the body's ranges.
func (b *Amended) Check() error {
	if b.Body == nil {
		return &RangeError{"amendment", "missing", "a body of the entry's own kind"}
	}
	switch b.Body.(type) {
	case *Amended, *Struck, *Settled, *Unknown:
		return &RangeError{"amendment", b.Body.Kind().String(), "a fact: strike words and write them again"}
	}
	return first(given("entry", b.Entry), text("why", b.Why, MaxText), b.Body.Check())
}

// Kind of the body.
func (*Struck) Kind() Kind { return KindStruck }

// Fields of the body.
func (b *Struck) Fields(f Fields) {
	f.Ref(1, &b.Entry)
	f.Text(2, &b.Why)
}

// Check the body's ranges.
func (b *Struck) Check() error {
	return first(given("entry", b.Entry), named("why", b.Why, MaxText))
}

// Kind of the body.
func (*Settled) Kind() Kind { return KindSettled }

// Fields of the body.
func (b *Settled) Fields(f Fields) {
	f.Text(1, &b.Doubt)
	f.Refs(2, &b.Entries)
	f.Refs(3, &b.Stands)
	f.OptInt(4, &b.Dial.Set, (*int64)(&b.Dial.Val))
	f.Text(5, &b.Why)
	f.Text(6, &b.Choice)
	f.OptInt(7, &b.Value.Set, &b.Value.Val)
}

// Check the body's ranges.
func (b *Settled) Check() error {
	return first(named("doubt", b.Doubt, MaxName), between("entries", len(b.Entries), 1, MaxList),
		between("entries that stand", len(b.Stands), 0, MaxList), betweenOpt("dial", b.Dial, 0, maxDial),
		text("why", b.Why, MaxText), text("choice", b.Choice, MaxName), betweenOpt("value", b.Value, 0, 1<<50))
}
