package entry

import "turnrow/sync/units"

// PlanSet plans a piece of ground. Each component is a field of its own, named
// by its lot and box, so that two people can change different ones.
type PlanSet struct {
	Ground     ID
	Components []Component
	Depth      Opt[units.Length]
	Nurse      Opt[string] // species of the nurse crop; "" for none
}

// Component is one seed of a plan: how much of a lot goes through a box.
type Component struct {
	Lot     ID
	Box     ID
	Live    units.RatePerArea // live seed aimed at; 0 where Seeds says it
	Seeds   units.Density     // live seeds aimed at; 0 where Live says it
	Removed bool              // takes the component out of the plan
}

// Kind of the body.
func (*PlanSet) Kind() Kind { return KindPlanSet }

// Fields of the body.
func (b *PlanSet) Fields(f Fields) {
	f.Ref(1, &b.Ground)
	f.Group(2, len(b.Components), func() { b.Components = append(b.Components, Component{}) }, func(i int, f Fields) {
		c := &b.Components[i]
		f.Ref(1, &c.Lot)
		f.Ref(2, &c.Box)
		f.Int(3, (*int64)(&c.Live))
		f.Int(4, (*int64)(&c.Seeds))
		flag(f, 5, &c.Removed)
	})
	f.OptInt(3, &b.Depth.Set, (*int64)(&b.Depth.Val))
	f.OptText(4, &b.Nurse.Set, &b.Nurse.Val)
}

// Check the body's ranges.
func (b *PlanSet) Check() error {
	for i := range b.Components {
		if err := b.Components[i].check(); err != nil {
			return err
		}
	}
	return first(given("ground", b.Ground), betweenOpt("depth", b.Depth, 0, 1e6),
		textOpt("nurse crop", b.Nurse, MaxName), between("components", len(b.Components), 0, MaxList))
}

func (c *Component) check() error {
	err := first(given("lot", c.Lot), given("box", c.Box),
		between("live rate", c.Live, 0, maxRate), between("seeds per area", c.Seeds, 0, maxDensity))
	if err == nil && !c.Removed && (c.Live > 0) == (c.Seeds > 0) {
		err = &RangeError{"component's aim", "not one figure", "a live rate or live seeds per area"}
	}
	return err
}
