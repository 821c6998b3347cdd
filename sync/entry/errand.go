package entry

import "turnrow/sync/units"

// Errand asks for seed to be brought, or says how far it has come. The zero Of
// asks, and the entry then names what was asked for.
type Errand struct {
	Of     ID
	State  ErrandState
	Lot    ID
	Bags   units.Count // 0 where Mass says it
	Mass   units.Mass  // 0 where Bags says it
	Box    ID          // that it is for; zero where none is named
	Side   int64       // compartment of the box, from 1; 0 for the whole box
	Gate   string      // where to bring it
	Note   string
	MassIn units.In // as the mass was written
}

// ErrandState is how far seed that was asked for has come.
type ErrandState uint8

// How far it has come, in order.
const (
	ErrandNotSaid ErrandState = iota
	ErrandWanted
	ErrandOnTheWay
	ErrandThere
)

var errandWords = [...]string{"", "wanted", "on the way", "there"}

// String is the state as people say it.
func (s ErrandState) String() string {
	if int(s) < len(errandWords) {
		return errandWords[s]
	}
	return "unknown"
}

// Kind of the body.
func (*Errand) Kind() Kind { return KindErrand }

// Fields of the body.
func (b *Errand) Fields(f Fields) {
	f.Ref(1, &b.Of)
	number(f, 2, &b.State)
	f.Ref(3, &b.Lot)
	f.Int(4, (*int64)(&b.Bags))
	f.Int(5, (*int64)(&b.Mass))
	f.Ref(6, &b.Box)
	f.Int(7, &b.Side)
	f.Text(8, &b.Gate)
	f.Text(9, &b.Note)
	f.Uint(10, (*uint64)(&b.MassIn))
}

// Check the body's ranges. Of seed that was asked for, nothing else is said but
// how far it has come, and a note.
func (b *Errand) Check() error {
	if err := between("state", b.State, ErrandWanted, ErrandThere); err != nil {
		return err
	}
	if !b.Of.IsZero() {
		if only := (Errand{Of: b.Of, State: b.State, Note: b.Note}); *b != only {
			return &RangeError{"seed that was asked for", "given more than a state", "a state, with a note at most"}
		}
		return text("note", b.Note, MaxText)
	}
	switch {
	case (b.Mass > 0) == (b.Bags > 0):
		return &RangeError{"amount", "not one figure", "a mass or a number of bags"}
	case b.Box.IsZero() && b.Gate == "":
		return &RangeError{"where to bring it", "missing", "a box, or a gate"}
	case b.Box.IsZero() && b.Side != 0:
		return &RangeError{"side", "given without a box", "beside a box"}
	}
	return first(given("lot", b.Lot), between("bags", b.Bags, 0, maxCount), between("mass", b.Mass, 0, maxMass),
		between("side", b.Side, 0, 16), text("gate", b.Gate, MaxName), text("note", b.Note, MaxText),
		between("units of the mass", b.MassIn, 0, units.MassIn))
}
