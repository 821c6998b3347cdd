package page

import (
	"math"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// lotForm sets a lot of seed from the tag on its bag, or a new one.
type lotForm struct {
	farm.Lot
	New     bool
	History []farm.Line
	Live    units.Share // by the tag; 0 where it does not say
	Sum     []string    // how that is worked out
}

func (f *lotForm) load(q *request) (err error) {
	if f.New = q.r.PathValue("seq") == ""; f.New {
		return nil
	}
	if f.Lot, err = found(q.View.LotOf(q.pathID())); err != nil {
		return err
	}
	f.History, _ = q.latest(f.Events)
	if live, err := f.Tag.Live(); err == nil {
		f.Live = live.Share()
		f.Sum, _ = f.Tag.Explain(q.System)
	}
	return nil
}

// Begin is what stands in a field to begin with.
func (f *lotForm) Begin(q *request, field string) string {
	share := func(s units.Share) string { return typed(s > 0, s.String()) }
	switch field {
	case "purity":
		return share(f.Tag.Purity)
	case "germination":
		return share(f.Tag.Germination)
	case "hard":
		return share(f.Tag.Hard)
	case "coating":
		return share(f.Tag.Coating)
	case "bag":
		return typed(f.Bag > 0, f.Bag.Format(q.System))
	case "price":
		return typed(f.Price > 0, f.Price.String())
	case "tested":
		return dateField(f.Tested)
	case "seeds":
		return typed(f.SeedsPerKg > 0, units.Count(seedsShown(f.SeedsPerKg, q.System)*1000).String())
	}
	return ""
}

// A pound is so many kilograms (NIST SP 811, appendix B).
const poundKg = 0.45359237

// seedsShown is a count of seeds to the kilogram, as it is shown: to the pound
// in US units.
func seedsShown(perKg int64, s units.System) int64 {
	if s == units.Metric {
		return perKg
	}
	return int64(math.Round(float64(perKg) * poundKg))
}

func (f *lotForm) bodies(q *request) []entry.Body {
	b := &entry.LotSet{
		Lot: f.ID, Name: changedText(q.form, "name", f.Name), Species: changedText(q.form, "species", f.Species),
		Variety: changedText(q.form, "variety", f.Variety), Inoculant: changedText(q.form, "inoculant", f.Inoculant),
		Purity:      changed(q.form, "purity", units.ParseShare, f.Tag.Purity),
		Germination: changed(q.form, "germination", units.ParseShare, f.Tag.Germination),
		Hard:        changed(q.form, "hard", units.ParseShare, f.Tag.Hard),
		Coating:     changed(q.form, "coating", units.ParseShare, f.Tag.Coating),
		Bag:         changed(q.form, "bag", units.ParseMass, f.Bag, q.bare("lb", "kg")),
		Price:       changed(q.form, "price", units.ParseMoney, f.Price),
		Tested:      changedDay(q.form, "tested", f.Tested),
	}
	b.SeedsPerKg = f.seeds(q)
	q.need("name")
	if q.Has("species") {
		if _, err := rate.FindSpecies(q.Val("species")); err != nil && q.Val("species") != f.Species && q.Val("sure") == "" {
			q.refuse("species", err.Error())
		}
	}
	if !f.New && *b == (entry.LotSet{Lot: f.ID}) {
		q.refuse("", words.text("form.nothing"))
	}
	return []entry.Body{b}
}

func (f *lotForm) seeds(q *request) (o entry.Opt[int64]) {
	n := q.whole("seeds")
	if !q.Has("seeds") || n == seedsShown(f.SeedsPerKg, q.System) {
		return o
	}
	if q.System == units.US {
		n = int64(math.Round(float64(n) / poundKg))
	}
	return entry.Some(n)
}

func (f *lotForm) done() string {
	if f.New {
		return "/plan"
	}
	return "/lot/" + f.ID.String()
}

// bagsForm writes that bags of a lot came, or left the farm.
type bagsForm struct{ lot farm.Lot }

func (f *bagsForm) load(q *request) (err error) {
	f.lot, err = found(q.View.LotOf(q.pathID()))
	return err
}

func (f *bagsForm) bodies(q *request) []entry.Body {
	q.need("bags")
	n := read(q.form, "bags", units.ParseCount)
	if q.Val("way") == "out" {
		return []entry.Body{&entry.BagsOut{Lot: f.lot.ID, Bags: n}}
	}
	return []entry.Body{&entry.BagsIn{Lot: f.lot.ID, Bags: n}}
}

func (f *bagsForm) done() string { return "/lot/" + f.lot.ID.String() }

// groundForm sets a piece of ground, or a new one.
type groundForm struct {
	farm.Ground
	New    bool
	States []string
}

func (f *groundForm) load(q *request) (err error) {
	f.States = []string{entry.BareGround, entry.ClearedGround, entry.WornSod}
	if f.New = q.r.PathValue("seq") == ""; !f.New {
		f.Ground, err = q.pathGround()
	}
	return err
}

// Begin is what stands in a field to begin with.
func (f *groundForm) Begin(q *request, field string) string {
	if field == "slope" {
		return typed(f.SlopeSet, f.Slope.String())
	}
	return typed(f.Area > 0, f.Area.Format(q.System))
}

func (f *groundForm) bodies(q *request) []entry.Body {
	b := &entry.GroundSet{
		Ground: f.ID, Name: changedText(q.form, "name", f.Name), Area: changed(q.form, "area", units.ParseArea, f.Area, q.bare("ac", "ha")),
		State: changedText(q.form, "state", f.State), Notes: changedText(q.form, "notes", f.Notes), Spray: changedText(q.form, "spray", f.Spray),
		Slope: optional(q.form, "slope", units.ParseShare),
	}
	if f.SlopeSet && b.Slope.Val == f.Slope {
		b.Slope = entry.Opt[units.Share]{}
	}
	q.need("name")
	if !f.New && !b.Name.Set && !b.Area.Set && !b.State.Set && !b.Notes.Set && !b.Spray.Set && !b.Slope.Set {
		q.refuse("", words.text("form.nothing"))
	}
	return []entry.Body{b}
}

func (f *groundForm) done() string {
	if f.New {
		return "/plan"
	}
	return "/ground/" + f.ID.String()
}
