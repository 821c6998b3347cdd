package setfile

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// plan is the plan of one piece of ground.
type plan struct {
	at     node
	ground string
	seed   []*component
	listed bool // seed was given: it is all that is planned
	depth  entry.Opt[units.Length]
	nurse  entry.Opt[string]
}

// component is one seed of a plan.
type component struct {
	at       node
	lot, box string
	live     entry.Opt[units.RatePerArea]
	seeds    entry.Opt[units.Density]
	remove   bool
}

func (p *plan) called() string { return p.ground }
func (p *plan) place() node    { return p.at }

func (c *component) called() string { return c.lot + " in " + c.box }
func (c *component) place() node    { return c.at }

// keys are the keys of a plan.
func (p *plan) keys() []key {
	return []key{
		{"ground", text(&p.ground)},
		{"seed", func(n node) error { p.listed = true; return list(&p.seed, "seed", readComponent)(n) }},
		{"depth", quantity(&p.depth, units.ParseLength)},
		{"nurse", wording(&p.nurse)},
	}
}

// keys are the keys of one seed of a plan.
func (c *component) keys() []key {
	return []key{
		{"lot", text(&c.lot)},
		{"box", text(&c.box)},
		{"live", quantity(&c.live, units.ParseRate, units.Live())},
		{"seeds", quantity(&c.seeds, units.ParseDensity)},
		{"remove", yes(&c.remove)},
	}
}

func readPlan(n node) (*plan, error) {
	p := &plan{at: n}
	err := n.keys("a plan", p.keys()...)
	if err == nil && p.ground == "" {
		err = n.refuse("a plan needs the ground that it is for, such as ground: bench")
	}
	return p, err
}

func readComponent(n node) (*component, error) {
	c := &component{at: n}
	err := n.keys("a seed of the plan", c.keys()...)
	switch {
	case err != nil:
	case c.lot == "" || c.box == "":
		err = n.refuse("a seed of the plan needs its lot and its box, such as {lot: O-1, box: grain, live: 30 lb/ac}")
	case c.remove && (c.live.Set || c.seeds.Set):
		err = n.refuse("a seed that is removed has no rate: leave out live and seeds, or remove")
	case !c.remove && c.live.Set == c.seeds.Set:
		err = n.refuse("a seed of the plan needs one aim: live, such as 8 lb/ac, or seeds, such as 30 seeds/ft2")
	}
	return c, err
}

func (w *writer) setPlan(p *plan) error {
	id, err := w.refer(p.at, "ground", p.ground, w.grounds, groundThings(w.view))
	if err != nil {
		return err
	}
	now, _ := w.view.GroundOf(id)
	b := &entry.PlanSet{Ground: id, Depth: p.depth, Nurse: p.nurse}
	var listed []entry.Component
	for _, c := range p.seed {
		to, err := w.component(c)
		if err != nil {
			return err
		}
		listed = append(listed, to)
		if !planned(now, to) {
			b.Components = append(b.Components, to)
		}
	}
	if p.isWhole() {
		b.Components = append(b.Components, w.unlisted(p, now, listed)...)
	}
	if some(changed(false, &b.Depth, now.Depth), changed(false, &b.Nurse, now.Nurse), len(b.Components) > 0) {
		_, err = w.add(p.at, b)
	}
	return err
}

// isWhole says whether the list of seed is the whole plan of its ground: it is,
// unless it only takes seed out.
func (p *plan) isWhole() bool {
	return p.listed && (len(p.seed) == 0 || slices.ContainsFunc(p.seed, func(c *component) bool { return !c.remove }))
}

// unlisted takes out of a plan what its list no longer has, among the boxes of
// the drill in question, and tells so.
func (w *writer) unlisted(p *plan, now farm.Ground, listed []entry.Component) (out []entry.Component) {
	for _, was := range now.Plan {
		if slices.ContainsFunc(listed, func(c entry.Component) bool { return c.Lot == was.Lot && c.Box == was.Box }) {
			continue
		}
		if b, _ := w.view.BoxOf(was.Box); !w.drill.IsZero() && b.Drill != w.drill {
			continue
		}
		out = append(out, entry.Component{Lot: was.Lot, Box: was.Box, Removed: true})
		w.note(p.at, "taken out of the plan of "+p.ground+", since its list no longer has it: "+w.view.NameOf(was.Lot)+" in "+w.view.NameOf(was.Box))
	}
	return out
}

func (w *writer) component(c *component) (entry.Component, error) {
	lot, err := w.refer(c.at, "lot", c.lot, w.lots, lotThings(w.view))
	if err != nil {
		return entry.Component{}, err
	}
	box, err := w.refer(c.at, "box", c.box, w.boxes, w.boxThings())
	return entry.Component{Lot: lot, Box: box, Live: c.live.Val, Seeds: c.seeds.Val, Removed: c.remove}, err
}

// planned says whether the plan says the same of a lot in a box already.
func planned(g farm.Ground, c entry.Component) bool {
	for _, p := range g.Plan {
		if p.Lot != c.Lot || p.Box != c.Box {
			continue
		}
		if p.Seeds > 0 {
			return p.Seeds == c.Seeds
		}
		return p.Live == c.Live && c.Seeds == 0 && !c.Removed
	}
	return c.Removed
}
