package page

import (
	"errors"
	"math"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// lotForm sets a lot of seed from the tag on its bag, or a new one.
type lotForm struct {
	farm.Lot
	New     bool
	History []words.Line
	Live    units.Share          // by the tag; 0 where it does not say
	Sum     []string             // how that is worked out
	Unclear *rate.CoatingUnclear // where the label does not tell how coating is counted
}

// Counted is how coating is counted, as somebody said; empty where nobody did.
func (f *lotForm) Counted() string {
	if f.Tag.Counted == rate.CoatingNotSaid {
		return ""
	}
	return f.Tag.Counted.String()
}

func (f *lotForm) load(q *request) (err error) {
	if f.New = q.r.PathValue("seq") == ""; f.New {
		return nil
	}
	if f.Lot, err = found(q.View.LotOf(q.pathID())); err != nil {
		return err
	}
	f.History, _ = q.latest(f.Events)
	if f.Tagged {
		_, err := f.Tag.CountedCoating()
		errors.As(err, &f.Unclear)
	}
	if live, err := f.Tag.Live(); err == nil {
		f.Live = live.Share()
		f.Sum, _ = f.Tag.Explain(q.System)
	}
	return nil
}

// Either says how much live seed the bag holds if coating is counted one way.
func (f *lotForm) Either(way string) string {
	switch {
	case f.Unclear == nil:
		return ""
	case way == "in":
		return texts.Text("lot.counted.live", f.Unclear.In.Share())
	}
	return texts.Text("lot.counted.live", f.Unclear.Apart.Share())
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
	case "other":
		return share(f.OtherCrop)
	case "weed":
		return share(f.WeedSeed)
	case "inert":
		return share(f.Inert)
	case "bag":
		if f.BagPrinted != "" {
			return f.BagPrinted
		}
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
	l := client.Lot{Label: entry.Some(f.label(q)), Sure: q.Val("sure") != "", LotSet: entry.LotSet{
		Lot: f.ID, Name: textField(q.form, "name"), Species: textField(q.form, "species"),
		Variety: textField(q.form, "variety"), Inoculant: textField(q.form, "inoculant"),
		Price: fields.Optional(q.Reader, "price", units.ParseMoney), Tested: dayField(q.form, "tested"), SeedsPerKg: f.seeds(q)}}
	f.bag(q, &l.LotSet)
	bodies := q.intend(nil, l)
	for i := range q.refused {
		errors.As(q.refused[i].Err, &f.Unclear)
	}
	return bodies
}

// bag reads the bag: as a mass, or in bushels by what a bushel of the species
// weighs, and then keeps how it was written.
func (f *lotForm) bag(q *request, b *entry.LotSet) {
	if !q.Has("bag") {
		return
	}
	mass, in, err := rate.ReadBag(q.Val("bag"), q.Or("species", f.Species), q.Bare("lb", "kg"), units.DecimalComma())
	if q.refuseErr("bag", err); err == nil {
		b.Bag, b.BagPrinted = entry.Some(mass), entry.Some(in.Printed)
	}
}

// label is what the label says, as it was typed.
func (f *lotForm) label(q *request) entry.LabelSet {
	or := func(typed, now string) string {
		if q.vals.Has(typed) {
			return q.Val(typed)
		}
		return now
	}
	want := entry.LabelSet{OtherCrop: fields.Optional(q.Reader, "other", perCent), WeedSeed: fields.Optional(q.Reader, "weed", perCent),
		Inert: fields.Optional(q.Reader, "inert", perCent), Lines: []entry.LabelLine{{
			Species: or("species", f.Species), Variety: or("variety", f.Variety),
			Share: fields.Optional(q.Reader, "purity", perCent), Germination: fields.Optional(q.Reader, "germination", perCent),
			Hard: fields.Optional(q.Reader, "hard", perCent), Coating: fields.Optional(q.Reader, "coating", perCent)}}}
	switch q.Val("counted") {
	case "in":
		want.CoatingCounted = entry.CoatingIn
	case "apart":
		want.CoatingCounted = entry.CoatingApart
	}
	return want
}

// perCent reads a share of a field that is marked with its per cent sign, so
// that 0.5 is half of one per cent there.
func perCent(text string, opts ...units.Option) (units.Share, error) {
	if last := len(text) - 1; last >= 0 && text[last] >= '0' && text[last] <= '9' {
		text += "%"
	}
	return units.ParseShare(text, opts...)
}

func (f *lotForm) seeds(q *request) (o entry.Opt[int64]) {
	n := q.Whole("seeds")
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
	n := fields.Read(q.Reader, "bags", units.ParseCount)
	return q.intend(nil, client.Bags{Lot: f.lot.ID, Bags: n, Out: q.Val("way") == "out"})
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
	return q.intend(nil, client.Ground{GroundSet: entry.GroundSet{
		Ground: f.ID, Name: textField(q.form, "name"), Area: fields.Optional(q.Reader, "area", units.ParseArea, q.Bare("ac", "ha")),
		State: textField(q.form, "state"), Notes: textField(q.form, "notes"), Spray: textField(q.form, "spray"),
		Slope: fields.Optional(q.Reader, "slope", units.ParseShare),
	}})
}

func (f *groundForm) done() string {
	if f.New {
		return "/plan"
	}
	return "/ground/" + f.ID.String()
}
