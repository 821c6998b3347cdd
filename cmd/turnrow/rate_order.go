package main

import (
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func newOrderCommand(g *globals) *cobra.Command {
	return sum{
		use: "order", short: "Seed to buy for a piece of ground, in whole bags, and what it costs",
		example: `  turnrow rate order --bulk "34 lb/ac" --area "7.5 ac" --bag "50 lb" --price 14.50
  turnrow rate order --bulk "34 lb/ac" --area "7.5 ac" --bag "50 lb" --price 14.50 --reserve 5% --on-hand "40 lb"`,
		flags: func(f *pflag.FlagSet) {
			f.String("bulk", "", "bulk rate, as \"34 lb/ac\"")
			f.String("area", "", "ground, as \"7.5 ac\"")
			f.String("bag", "", "seed in a bag, as \"50 lb\"")
			f.String("price", "", "price of a bag, as 14.50")
			f.String("reserve", "", "how much more than the ground takes, as 5%")
			f.String("on-hand", "", "seed of the kind that is there already")
			f.String("live-share", "", "live share, for the cost of live seed")
			speciesFlags(f)
		},
		work: workOrder,
	}.command(g)
}

func workOrder(r *reading, _ []string) (result, error) {
	readSpecies(r)
	r.need("bulk", "area", "bag", "price")
	o := rate.Order{Bulk: r.Rate("bulk"), Area: r.Area("area"), Bag: r.Mass("bag"), Price: fields.Read(r.Reader, "price", units.ParseMoney),
		Reserve: r.Share("reserve"), OnHand: r.Mass("on-hand")}
	r.oddRate(o.Bulk)
	if r.Has("live-share") {
		var err error
		if o.Live, err = rate.LiveFrom(r.WholeShare("live-share")); err != nil {
			r.fail("%w", err)
		}
	}
	if r.err != nil {
		return result{}, r.err
	}
	b, err := o.Bill()
	if err != nil {
		return result{}, err
	}
	return result{value: newOrderAnswer(b), lines: orderLines(b, r.System), steps: o.Explain}, nil
}

func newOrderAnswer(b rate.Bill) answer.RateOrder {
	a := answer.RateOrder{Lb: answer.Number(b.Lacking.Pounds()), Kg: answer.Number(b.Lacking.Kilograms()), Bags: b.Bags,
		Cost: answer.Number(b.Cost.Float()), CostPerAc: answer.Number(b.CostPerAcre()), CostPerHa: answer.Number(b.CostPerHectare()),
		LeftLb: answer.Number(b.Left.Pounds()), LeftBags: b.LeftBags}
	if perPound := answer.Number(b.CostPerLivePound()); perPound > 0 {
		a.CostPerLiveLb = &perPound
	}
	return a
}

func orderLines(b rate.Bill, system units.System) []string {
	each, per := b.CostPerAcre(), " an acre"
	if system == units.Metric {
		each, per = b.CostPerHectare(), " a hectare"
	}
	return []string{
		"buy " + b.Lacking.Format(system) + ": " + counted(b.Bags, "bag") + ", " + b.Cost.Format("") + ", " +
			strconv.FormatFloat(each, 'f', 2, 64) + per,
		"left if the reserve is not used: " + b.Left.Format(system) + ", " + counted(b.LeftBags, "whole bag"),
	}
}
