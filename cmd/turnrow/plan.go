package main

import (
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/client/answer"
	"turnrow/client/fields"
	"turnrow/client/rough"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func newPlanCommand(g *globals) *cobra.Command {
	return task{
		use: "plan", short: "Show what is planned: bulk rates from the tags, seed and bags to buy",
		example: "  turnrow plan\n  turnrow plan --reserve 5%",
		flags:   func(f *pflag.FlagSet) { f.String("reserve", "0%", "more than the ground takes, for overlaps, as 5%") },
		work:    showPlan,
	}.command(g)
}

func showPlan(k *call) error {
	reserve := fields.ReadText(k.Reader, "reserve", k.Text("reserve"), units.ParseShare)
	if err := k.wrong(); err != nil {
		return err
	}
	a := answer.Plans{Ground: []answer.Plan{}, Order: []answer.Order{}}
	var rows, bills [][]string
	for _, g := range k.view().Grounds {
		if len(g.Plan) == 0 {
			continue
		}
		a.Ground = append(a.Ground, answer.Plan{Ground: g.Name, Acres: answer.Number(g.Area.Acres()), Seed: k.report().Planned(g)})
		for _, p := range g.Plan {
			rows = append(rows, k.planRow(g, p))
		}
	}
	for _, l := range k.view().Lots {
		order, row, err := k.order(l, reserve)
		if err != nil {
			return err
		}
		if order.Lot != "" {
			a.Order, bills = append(a.Order, order), append(bills, row)
		}
	}
	lines := append(table([]string{"ground", "lot", "box", "live", "bulk", "seed"}, rows), "")
	lines = append(lines, table([]string{"lot", "wanted", "on hand", "buy", "cost", "to the acre"}, bills)...)
	if len(rows) == 0 {
		lines = []string{"Nothing is planned yet: turnrow set FILE plans it."}
	}
	notes := sheet.PlanCautions(k.view(), k.today())
	a.Cautions = cautions(notes)
	return k.show(a, append(append(lines, cautionLines(notes)...), k.footer()...))
}

// today is the day where the farm is.
func (k *call) today() sheet.Day { return sheet.DayOf(time.Now().In(k.zone())) }

func (k *call) planRow(g farm.Ground, p farm.Planned) []string {
	s := k.units()
	row := []string{g.Name, k.view().NameOf(p.Lot), k.view().NameOf(p.Box), p.Live.Format(s), words.Of(k.view()).Text(p.Why), ""}
	if p.Seeds > 0 {
		row[3] = p.Seeds.Format(s)
	}
	if p.Bulk > 0 {
		row[4] = p.Bulk.Format(s)
		if m, err := p.Bulk.On(g.Area); g.Area == 0 {
			row[5] = "not known: set its area"
		} else if err == nil {
			row[5] = rough.Poured(m, s)
		}
	}
	return row
}

// order is what of a lot the plans want, and what of that must be bought.
func (k *call) order(l farm.Lot, reserve units.Share) (answer.Order, []string, error) {
	s := k.units()
	n := sheet.NeedOf(k.view(), l)
	wanted, without, onHand := n.Wanted, n.NoArea, n.OnHand
	if wanted == 0 && len(without) == 0 {
		return answer.Order{}, nil, nil
	}
	a := answer.Order{Lot: l.Name, Lb: answer.Number(wanted.Pounds()), OnHandLb: answer.Number(onHand.Pounds()), NoArea: without}
	row := []string{l.Name, rough.Poured(wanted, s), rough.Poured(onHand, s), "", "", ""}
	if len(without) > 0 {
		row[1] += ", and what " + strings.Join(without, ", ") + " takes: set its area"
	}
	if wanted == 0 {
		row[1] = "not known: set the area of " + strings.Join(without, ", ")
		return a, row, nil
	}
	if l.Bag == 0 {
		row[3] = "bag not known"
		return a, row, nil
	}
	bill, err := n.Bill(reserve)
	if err != nil {
		return a, nil, err
	}
	a.Bags = &bill.Bags
	row[3] = counted(int(bill.Bags), "bag")
	if l.Price > 0 {
		a.Cost, a.CostPerAc = answer.Some(bill.Cost.Float()), answer.Some(bill.CostPerAcre())
		row[4], row[5] = bill.Cost.Format(k.view().MoneySign), k.view().MoneySign+strconv.FormatFloat(bill.CostPerAcre(), 'f', 2, 64)
	}
	return a, row, nil
}
