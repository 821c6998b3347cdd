package page

import (
	"cmp"
	"slices"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// planPage is what is planned, ground by ground, and what to buy for it.
type planPage struct {
	Grounds []groundPlan
	Order   []orderLine
	Total   units.Money
	Reserve string
}

// groundPlan is the plan of one piece of ground.
type groundPlan struct {
	farm.Ground
	Seeds    []plannedSeed
	Boxes    []boxRate
	Cautions []rate.Caution
}

// plannedSeed is one seed of a plan, worked out.
type plannedSeed struct {
	farm.Planned
	Lot  farm.Lot
	Box  string
	Live units.Share // of what is in the bag; 0 where the tag does not say
	Mass units.Mass  // for all of the ground
}

// boxRate is what the seeds of a plan that share a box come to.
type boxRate struct {
	Box  farm.Box
	Bulk units.RatePerArea
}

func plan(q *request) (any, error) {
	v := planPage{Reserve: q.Or("reserve", "0")}
	for _, g := range q.View.Grounds {
		v.Grounds = append(v.Grounds, q.groundPlan(g))
	}
	reserve := fields.Read(q.Reader, "reserve", units.ParseShare)
	for _, l := range q.View.Lots {
		o, ok := q.order(l, reserve)
		if !ok {
			continue
		}
		v.Order = append(v.Order, o)
		v.Total += o.Bill.Cost
	}
	return v, nil
}

func (q *request) groundPlan(g farm.Ground) groundPlan {
	gp := groundPlan{Ground: g}
	for _, p := range g.Plan {
		s := plannedSeed{Planned: p, Box: q.View.NameOf(p.Box)}
		s.Lot, _ = q.View.LotOf(p.Lot)
		if live, err := s.Lot.Tag.Live(); err == nil {
			s.Live = live.Share()
		}
		s.Mass, _ = p.Bulk.On(g.Area)
		gp.Seeds = append(gp.Seeds, s)
		gp.add(q.View, p)
	}
	gp.Cautions = q.cautions(gp)
	return gp
}

// add adds a seed to what its box must give.
func (gp *groundPlan) add(v *farm.View, p farm.Planned) {
	i := slices.IndexFunc(gp.Boxes, func(b boxRate) bool { return b.Box.ID == p.Box })
	if i < 0 {
		b, _ := v.BoxOf(p.Box)
		i = len(gp.Boxes)
		gp.Boxes = append(gp.Boxes, boxRate{Box: b})
	}
	gp.Boxes[i].Bulk += p.Bulk
}

// oldTest is how many months after its test seed is still taken: the strictest
// of what was found (Pennsylvania Department of Environmental Protection: no
// seed is sown later than one year after its test). A tag's state may allow
// 9 to 15.
const oldTest = 12

// cautions is what to weigh before a plan is sown: advice, not a bar.
func (q *request) cautions(gp groundPlan) (out []rate.Caution) {
	add := func(c *rate.Caution, err error) {
		if c != nil && err == nil && !slices.ContainsFunc(out, func(o rate.Caution) bool { return o.Text == c.Text }) {
			out = append(out, *c)
		}
	}
	if len(gp.Seeds) == 0 {
		return nil
	}
	var mix []rate.Species
	now := q.now()
	for _, s := range gp.Seeds {
		for _, c := range s.Lot.Tag.Cautions() {
			add(&c, nil)
		}
		if s.Lot.Tested > 0 {
			y, m := monthOf(s.Lot.Tested)
			add(rate.OldTest(rate.TestMonth{Year: y, Month: m}, rate.TestMonth{Year: now.Year(), Month: int(now.Month())}, oldTest))
		}
		if sp, err := rate.FindSpecies(s.Lot.Species); err == nil {
			mix = append(mix, sp)
			add(rate.Inoculate(sp, s.Lot.Inoculant != ""), nil)
		}
	}
	if gp.SlopeSet {
		if n, err := rate.NurseCrop(min(gp.Slope, units.Whole), false, gp.Nurse != ""); err == nil && n != nil {
			add(&n.Caution, nil)
		}
	}
	add(rate.ShadedLegume(mix, gp.Nurse != ""), nil)
	add(rate.SprayOverLegume(mix, gp.Spray != ""), nil)
	return out
}

// orderLine is what the plans want of a lot, and what of it must be bought.
type orderLine struct {
	sheet.Need
	Bill rate.Bill
	Why  string // why there is no bill
}

func (q *request) order(l farm.Lot, reserve units.Share) (o orderLine, wanted bool) {
	if o.Need = sheet.NeedOf(q.View, l); o.Wanted == 0 {
		return o, false
	}
	if l.Bag == 0 {
		o.Why = texts.Text("order.nobag")
		return o, true
	}
	var err error
	if o.Bill, err = o.Need.Bill(reserve); err != nil {
		o.Why = err.Error()
	}
	return o, true
}

// planForm puts a seed into the plan of a piece of ground, changes it or takes
// it out, and sets depth and nurse crop.
type planForm struct {
	groundPlan
	lots  []farm.Lot
	boxes []farm.Box
}

// Lots and Boxes are what may be planned.
func (f *planForm) Lots() []farm.Lot { return f.lots }
func (f *planForm) Into() []farm.Box { return f.boxes }

func (f *planForm) load(q *request) error {
	g, err := q.pathGround()
	if err != nil {
		return err
	}
	f.groundPlan, f.lots, f.boxes = q.groundPlan(g), slices.Clone(q.View.Lots), q.View.Boxes
	slices.SortStableFunc(f.lots, func(a, b farm.Lot) int { return cmp.Compare(a.Species, b.Species) })
	return nil
}

func (f *planForm) bodies(q *request) []entry.Body {
	p := client.Plan{PlanSet: entry.PlanSet{Ground: f.ID}}
	switch q.Val("do") {
	case "remove":
		p.Components = []entry.Component{{Lot: q.id("lot"), Box: q.id("box"), Removed: true}}
	case "how":
		p.Depth = fields.Optional(q.Reader, "depth", units.ParseLength, q.Bare("in", "mm"))
		p.Nurse = textField(q.form, "nurse")
	default:
		p.Components = []entry.Component{f.component(q)}
	}
	if len(q.Wrong) > 0 {
		return nil
	}
	return q.intend(say{client.Missing: "form.lot"}, p)
}

func (f *planForm) component(q *request) entry.Component {
	return entry.Component{Lot: q.lotField(""), Box: q.id("box"), Live: q.LiveRate("live"),
		Seeds: fields.Read(q.Reader, "seeds", units.ParseDensity, q.Bare("/ft2", "/m2"))}
}

func (f *planForm) done() string { return "/ground/" + f.ID.String() + "/plan" }
