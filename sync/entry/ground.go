package entry

import "turnrow/sync/units"

// Ground states, as GroundSet names them.
const (
	BareGround    = "bare"
	ClearedGround = "cleared"
	WornSod       = "worn sod"
)

// GroundSet makes a piece of ground, or changes what is set of it. The zero
// Ground makes a new one, which the entry then names.
type GroundSet struct {
	Ground   ID
	Name     Opt[string]
	Area     Opt[units.Area]
	Slope    Opt[units.Share] // rise over run
	State    Opt[string]      // bare, cleared or worn sod
	Notes    Opt[string]
	Spray    Opt[string] // a spray intended later, as the crew names it
	Boundary []Ring      // outer ring first, then holes; none where it does not change
}

// GroundFinished says that a piece of ground is finished, or that it is not
// after all.
type GroundFinished struct {
	Ground     ID
	Drill      ID
	Reading    Opt[units.Reading] // the counter's then, if known
	Finished   bool
	Correction Opt[int64] // true area over the counter's, thousandths, as the crew takes it from here on
}

// Ring is a closed line of corners: longitude and latitude in turn, each in
// ten-millionths of a degree (WGS 84).
type Ring []int64

// Kind of the body.
func (*GroundSet) Kind() Kind { return KindGroundSet }

// Fields of the body.
func (b *GroundSet) Fields(f Fields) {
	f.Ref(1, &b.Ground)
	f.OptText(2, &b.Name.Set, &b.Name.Val)
	f.OptInt(3, &b.Area.Set, (*int64)(&b.Area.Val))
	f.OptInt(4, &b.Slope.Set, (*int64)(&b.Slope.Val))
	f.OptText(5, &b.State.Set, &b.State.Val)
	f.OptText(6, &b.Notes.Set, &b.Notes.Val)
	f.OptText(7, &b.Spray.Set, &b.Spray.Val)
	f.Group(8, len(b.Boundary), func() { b.Boundary = append(b.Boundary, nil) }, func(i int, f Fields) {
		r := &b.Boundary[i]
		f.Ints(1, len(*r), func() { *r = append(*r, 0) }, func(i int) *int64 { return &(*r)[i] })
	})
}

// Check the body's ranges.
func (b *GroundSet) Check() error {
	for _, r := range b.Boundary {
		if err := r.check(); err != nil {
			return err
		}
	}
	return first(newThing("ground", b.Ground, b.Name), betweenOpt("area", b.Area, 0, maxArea),
		betweenOpt("slope", b.Slope, 0, 10*units.Whole), textOpt("state", b.State, MaxName),
		textOpt("notes", b.Notes, MaxText), textOpt("spray", b.Spray, MaxText),
		between("boundary's rings", len(b.Boundary), 0, MaxList))
}

func (r Ring) check() error {
	if err := between("boundary's corners", len(r)/2, 3, MaxPoints/2); err != nil {
		return err
	}
	if len(r)%2 != 0 {
		return &RangeError{"boundary", "an odd list", "pairs of longitude and latitude"}
	}
	for i := 0; i < len(r); i += 2 {
		if err := first(between("longitude", r[i], -maxLongitude, maxLongitude),
			between("latitude", r[i+1], -maxLatitude, maxLatitude)); err != nil {
			return err
		}
	}
	return nil
}

// newThing checks the name of a thing: a new one must have one, and none may
// lose it.
func newThing(what string, id ID, name Opt[string]) error {
	if !name.Set && !id.IsZero() {
		return nil
	}
	return named(what+"'s name", name.Val, MaxName)
}

// Kind of the body.
func (*GroundFinished) Kind() Kind { return KindGroundFinished }

// Fields of the body.
func (b *GroundFinished) Fields(f Fields) {
	f.Ref(1, &b.Ground)
	f.Ref(2, &b.Drill)
	f.OptInt(3, &b.Reading.Set, (*int64)(&b.Reading.Val))
	flag(f, 4, &b.Finished)
	f.OptInt(5, &b.Correction.Set, &b.Correction.Val)
}

// Check the body's ranges. A counter that is off by more than half is not
// corrected but mended.
func (b *GroundFinished) Check() error {
	return first(given("ground", b.Ground), given("drill", b.Drill), betweenOpt("counter's reading", b.Reading, 0, maxReading),
		betweenOpt("counter's correction", b.Correction, 500, 2000))
}
