package page

import (
	"slices"
	"time"

	"turnrow/client/page/picture"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
)

// comeUpPage is when to look for what was sown, and what was seen.
type comeUpPage struct {
	Rows    []comeUpRow
	Picture *pictured
	Sources []string // of the days
	Unknown []string // species of which nothing was published
}

// comeUpRow is one kind of seed on one piece of ground.
type comeUpRow struct {
	Ground  farm.Ground
	Species string
	Sown    int64 // the last day on which it was sown there
	When    rate.ComeUp
	Showing rate.Showing // what to think today when no plants show
	Counted []int64      // days of counts there
}

func comeUp(q *request) (any, error) {
	var v comeUpPage
	for _, g := range q.View.Grounds {
		sown, ok := q.lastSown(g)
		seen := map[string]bool{"": true}
		for _, s := range g.Sown {
			l, _ := q.View.LotOf(s.Lot)
			if ok && !seen[l.Species] {
				seen[l.Species] = true
				v.add(q, g, l.Species, sown)
			}
		}
	}
	v.Picture = q.calendar(v.Rows)
	return v, nil
}

// lastSown is the last day on which the counter moved on a piece of ground.
func (q *request) lastSown(g farm.Ground) (day int64, ok bool) {
	for _, id := range g.Events {
		if l, here := q.page.farm.Line(id); here {
			day, ok = max(day, dayOf(time.UnixMilli(l.Wall).In(q.zone))), true
		}
	}
	return day, ok
}

func (v *comeUpPage) add(q *request, g farm.Ground, species string, sown int64) {
	sp, err := rate.FindSpecies(species)
	if err != nil {
		v.Unknown = append(v.Unknown, species)
		return
	}
	first, last, source, ok := rate.ComeUpDays(sp)
	if !ok {
		v.Unknown = append(v.Unknown, species)
		return
	}
	when, err := rate.ComeUpFrom(sown, first, last)
	if err != nil {
		v.Unknown = append(v.Unknown, species)
		return
	}
	r := comeUpRow{Ground: g, Species: species, Sown: sown, When: when, Showing: when.On(q.today())}
	for _, s := range q.stands(g) {
		if s.Day >= sown {
			r.Counted = append(r.Counted, s.Day)
		}
	}
	v.Rows = append(v.Rows, r)
	if s := texts.Text("comeup.source", species, source); !slices.Contains(v.Sources, s) {
		v.Sources = append(v.Sources, s)
	}
}

// calendar pictures when each kind comes up; nil where nothing was sown.
func (q *request) calendar(rows []comeUpRow) *pictured {
	if len(rows) == 0 {
		return nil
	}
	short := func(day int64) string { return time.Unix(day*secondsOfDay, 0).UTC().Format("2 Jan") }
	k := picture.Calendar{ID: "comeup", Title: texts.Text("comeup.title"), About: texts.Text("comeup.about"), Today: q.today(), Write: short,
		TodayLabel: texts.Text("comeup.today", short(q.today())), BandLabel: texts.Text("comeup.band"), LateLabel: texts.Text("comeup.late"),
		DoneLabel: texts.Text("comeup.counted"), BegunLabel: texts.Text("comeup.sown")}
	for _, r := range rows {
		k.Bars = append(k.Bars, picture.Bar{Name: texts.Text("comeup.row", r.Species, r.Ground.Name), Begun: r.Sown, From: r.When.First, To: r.When.Last, Late: r.When.Late, Done: r.Counted})
	}
	return &pictured{ID: k.ID, Title: k.Title, SVG: k.SVG()}
}
