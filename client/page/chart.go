package page

import (
	"fmt"
	"slices"
	"strings"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// chartForm types in the chart under a box's lid, point by point as it stands
// there, for one kind of seed.
type chartForm struct {
	Box     farm.Box
	Species string
	Kinds   []string // of seed: those in the chart, then those of the lots
	Points  []chartRow
	Picture *pictured
}

// chartRow is one line of the chart; empty lines wait to be typed in.
type chartRow struct{ Dial, Rate string }

// emptyRows is how many lines stand ready beyond those that are filled.
const emptyRows = 4

func (f *chartForm) load(q *request) (err error) {
	if f.Box, err = q.pathBox(); err != nil {
		return err
	}
	f.kinds(q)
	f.Species = q.Val("species")
	lot, _ := q.View.LotOf(q.bottomLot(f.Box))
	if f.Species == "" && lot.Species != "" {
		f.Species = lot.Species
	} else if f.Species == "" && len(f.Kinds) > 0 {
		f.Species = f.Kinds[0]
	}
	for _, p := range f.chart() {
		f.Points = append(f.Points, chartRow{words.Mark(f.Box, 0, p.Dial), printedRate(p, q.System)})
	}
	f.Points = append(f.Points, make([]chartRow, emptyRows)...)
	for _, l := range q.View.Lots {
		if f.Picture == nil && strings.EqualFold(l.Species, f.Species) {
			f.Picture = q.dialCurve(f.Box, l)
		}
	}
	return nil
}

func (f *chartForm) kinds(q *request) {
	add := func(species string) {
		if species != "" && !slices.Contains(f.Kinds, species) {
			f.Kinds = append(f.Kinds, species)
		}
	}
	for _, p := range f.Box.Chart {
		add(p.Species)
	}
	for _, l := range q.View.Lots {
		add(l.Species)
	}
}

// chart is the points of the species that is shown.
func (f *chartForm) chart() (out []farm.ChartPoint) {
	for _, p := range f.Box.Chart {
		if strings.EqualFold(p.Species, f.Species) {
			out = append(out, p)
		}
	}
	return out
}

// bodies writes the points that are new or changed, and takes away those that
// are no longer there.
func (f *chartForm) bodies(q *request) []entry.Body {
	if !q.need("species") {
		return nil
	}
	ch := client.Chart{Box: f.Box.ID, Species: f.Species}
	for i := range q.rowsTyped() {
		p, ok := f.row(q, i)
		if !ok {
			continue
		}
		if slices.ContainsFunc(ch.Points, func(o farm.ChartPoint) bool { return o.Dial == p.Dial }) {
			q.refuse(fmt.Sprintf("dial%d", i), texts.Text("chart.twice", words.Mark(f.Box, 0, p.Dial)))
		}
		ch.Points = append(ch.Points, f.asItStands(p, q.System))
	}
	if len(q.Wrong) > 0 {
		return nil
	}
	return q.intend(nil, ch)
}

// asItStands is the point of the record that is written as a typed one is: its
// rate may have more places than are shown.
func (f *chartForm) asItStands(p farm.ChartPoint, s units.System) farm.ChartPoint {
	for _, now := range f.chart() {
		if now.Dial == p.Dial && now.Printed == p.Printed && now.Rate.Format(s) == p.Rate.Format(s) {
			return now
		}
	}
	return p
}

// rowsTyped is how many lines the posted form had.
func (q *request) rowsTyped() int {
	n := 0
	for q.vals.Has(fmt.Sprintf("dial%d", n)) {
		n++
	}
	return n
}

// printedRate is a point's rate as it is printed.
func printedRate(p farm.ChartPoint, s units.System) string {
	if p.Printed != "" {
		return p.Printed
	}
	return typed(true, p.Rate.Format(s))
}

// row reads one line; one with nothing in it is none.
func (f *chartForm) row(q *request, i int) (farm.ChartPoint, bool) {
	dial, printed := fmt.Sprintf("dial%d", i), fmt.Sprintf("rate%d", i)
	if !q.Has(dial) && !q.Has(printed) {
		return farm.ChartPoint{}, false
	}
	q.need(dial)
	q.need(printed)
	d := q.Dial(dial, f.Box, 0)
	r, in, err := rate.ReadRate(q.Val(printed), f.Species, q.Bare("lb/ac", "kg/ha"), units.DecimalComma())
	if q.Has(printed) {
		q.refuseErr(printed, err)
	}
	if err == nil && r == 0 && q.Has(printed) {
		q.refuse(printed, texts.Text("chart.norate"))
	}
	return farm.ChartPoint{Species: f.Species, Dial: d, Rate: r, Printed: in.Printed}, true
}

func (f *chartForm) done() string { return "/box/" + f.Box.ID.String() + "/chart" }
