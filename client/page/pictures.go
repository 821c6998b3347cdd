package page

import (
	"html/template"

	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// pictured is a picture with the same as a table, for whoever reads that
// better.
type pictured struct {
	ID, Title string
	SVG       template.HTML
	Head      []string
	Rows      [][]string
}

// boxPictures is the pictures of a box that there is anything to show in. They
// are worked out from all that is known of the box, and so are fetched apart
// from the view that they belong to, which does not wait for them.
type boxPictures struct {
	Box      farm.Box
	Pictures []pictured
}

func picturesOf(q *request) (any, error) {
	b, err := q.pathBox()
	if err != nil {
		return nil, err
	}
	d, _ := q.View.DrillOf(b.Drill)
	lot, _ := q.View.LotOf(q.bottomLot(b))
	v := boxPictures{Box: b}
	for _, p := range []*pictured{q.dialCurve(b, lot), q.rateOut(b, d), q.seedLeft(b)} {
		if p != nil {
			v.Pictures = append(v.Pictures, *p)
		}
	}
	return v, nil
}

// The most that is drawn of each, the latest: more than a picture of a phone's
// width can tell apart.
const (
	catchesShown   = 60
	stretchesShown = 100
	momentsShown   = 200
)

// lastOf is the last few of a list.
func lastOf[T any](list []T, most int) []T { return list[max(0, len(list)-most):] }

// The measures that pictures are drawn in, by the units shown.

func (q *request) rateNumber(r units.RatePerArea) float64 {
	if q.System == units.Metric {
		return r.KgPerHa()
	}
	return r.LbPerAcre()
}

func (q *request) areaNumber(a units.Area) float64 {
	if q.System == units.Metric {
		return a.Hectares()
	}
	return a.Acres()
}

func (q *request) massNumber(m units.Mass) float64 {
	if q.System == units.Metric {
		return m.Kilograms()
	}
	return m.Pounds()
}

func (q *request) unit(us, metric string) string {
	if q.System == units.Metric {
		return metric
	}
	return us
}
