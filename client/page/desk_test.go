package page_test

import (
	"net/http"
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// The plan's sums, by hand: 30 lb/ac of live oat at 98 % × 90 % = 88.2 % live
// is 34.01 lb/ac of bulk seed, 255.1 lb on 7.5 ac; 6 bags of 50 lb at $14.50.
func TestPlanAndOrder(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	body := d.get("/plan")
	for _, want := range []string{"88.2 %", "<b>34 lb/ac</b>", "255.1 lb", "<b>6</b> × 50 lb", "$87.00", "$11.60/ac"} {
		if !strings.Contains(body, want) {
			t.Errorf("the plan lacks %q", want)
		}
	}
	// 5 % more is 267.9 lb, still 6 bags; with 2 bags there already 4 remain.
	record(t, d.handset, &entry.BagsIn{Lot: lot(t, d.handset, "O-1").ID, Bags: 2000})
	if body := d.get("/plan?reserve=5"); !strings.Contains(body, "267.9 lb") || !strings.Contains(body, "<b>4</b> × 50 lb") {
		t.Errorf("with a reserve and two bags: %s", between(body, "Bags to buy", "</table>"))
	}
}

// What the desk types in is in the record, and only what was changed is
// written.
func TestDeskForms(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	c := d.handset
	grain, oat, bench := box(t, c, "grain").ID, lot(t, c, "O-1").ID, ground(t, c, "bench").ID
	tests := []struct {
		path   string
		fields []string
		want   entry.Body
	}{
		{"/ground/" + bench.String() + "/plan", []string{"do=", "lot=" + oat.String(), "box=" + grain.String(), "live=40"},
			&entry.PlanSet{Ground: bench, Components: []entry.Component{{Lot: oat, Box: grain, Live: 4_483_405}}}},
		{"/ground/" + bench.String() + "/plan", []string{"do=remove", "lot=" + oat.String(), "box=" + grain.String()},
			&entry.PlanSet{Ground: bench, Components: []entry.Component{{Lot: oat, Box: grain, Removed: true}}}},
		{"/ground/" + bench.String() + "/plan", []string{"do=how", "depth=1/2 in", "nurse=oat"},
			&entry.PlanSet{Ground: bench, Depth: entry.Some(units.Length(12_700))}},
		{"/lot/" + oat.String(), []string{"name=O-1", "species=oat", "purity=98", "germination=85", "bag=50 lb"},
			&entry.LabelSet{Lot: oat, Lines: []entry.LabelLine{{Species: "oat", Germination: entry.Some(units.Share(85_000))}}}},
		{"/lot/" + oat.String(), []string{"name=O-1", "species=oat", "bag=1 bu"}, // 32 lb, State of Indiana, Indiana Code 24-6-1-1
			&entry.LotSet{Lot: oat, Bag: entry.Some(units.Mass(14_514_956)), BagPrinted: entry.Some("1 bu")}},
		{"/lot/" + oat.String(), []string{"name=O-1", "species=oat", "bag=40 lb"},
			&entry.LotSet{Lot: oat, Bag: entry.Some(units.Mass(18_143_695)), BagPrinted: entry.Some("")}},
		{"/newlot", []string{"name=R-2", "species=cereal rye", "seeds=18000"},
			&entry.LotSet{Name: entry.Some("R-2"), Species: entry.Some("cereal rye"), SeedsPerKg: entry.Some(int64(39683))}},
		{"/ground/" + bench.String() + "/change", []string{"name=bench", "area=7.6", "slope=12", "state=cleared", "notes=wet at the spring", "spray=none before May"},
			&entry.GroundSet{Ground: bench, Area: entry.Some(units.Area(307_561_088))}},
		{"/newground", []string{"name=strip", "area=0.5 ha"}, &entry.GroundSet{Name: entry.Some("strip"), Area: entry.Some(units.Area(50_000_000))}},
		{"/box/" + grain.String() + "/chart", []string{"species=oat", "dial0=20", "rate0=18 lb/ac", "dial1=40", "rate1=44", "dial2=60", "rate2=66 lb/ac"},
			&entry.ChartPointSet{Box: grain, Species: "oat", Dial: 40_000, Rate: 4_931_745}},
	}
	for _, tt := range tests {
		before := d.View().Entries
		code, body := d.send(tt.path, d.fresh(), tt.fields...)
		if code != http.StatusOK || d.View().Entries != before+1 {
			t.Errorf("%s %v: %d, %d entries more\n%s", tt.path, tt.fields, code, d.View().Entries-before, between(body, `role="alert" class="wrong"`, "</div>"))
			continue
		}
		if got := latest(c); !sameBody(got, tt.want) {
			t.Errorf("%s wrote %+v\nwant %+v", tt.path, got, tt.want)
		}
	}
}

// fresh is what every form carries, without anything typed.
func (d *device) fresh() (vals map[string][]string) {
	v := hidden(d.get("/note"))
	return map[string][]string{"token": v["token"], "number": v["number"], "who": v["who"]}
}

// An emptied line takes the point away; a chart that says the same writes
// nothing.
func TestChartLines(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "grain")
	path := "/box/" + b.ID.String() + "/chart?species=oat"
	same := []string{"species=oat", "dial0=20", "rate0=18 lb/ac", "dial1=40", "rate1=41 lb/ac", "dial2=60", "rate2=66 lb/ac"}
	if code, body := d.send(path, d.fresh(), same...); code != http.StatusUnprocessableEntity || !strings.Contains(body, "Nothing is changed") {
		t.Errorf("the same chart: %d", code)
	}
	if code, _ := d.send(path, d.fresh(), append(same, "dial1=", "rate1=")...); code != http.StatusOK {
		t.Errorf("an emptied line: %d", code)
	}
	if got := box(t, d.handset, "grain").Chart; len(got) != 2 || got[0].Dial != 20_000 || got[1].Dial != 60_000 {
		t.Errorf("the chart is %v", got)
	}
	if code, body := d.send(path, d.fresh(), "species=oat", "dial0=20", "rate0=18", "dial1=20", "rate1=19"); code != http.StatusUnprocessableEntity || !strings.Contains(body, "stands twice") {
		t.Errorf("a mark twice: %d", code)
	}
}

// A set file as text, refused with its place where something is wrong.
func TestSetup(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	code, body := d.post("/setup", "set=ground:\n  - {name: strip, area: 2 lb}")
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "the text:2:") {
		t.Errorf("a wrong unit: %d: %s", code, between(body, `role="alert" class="wrong"`, "</div>"))
	}
	before := d.View().Entries
	code, _ = d.post("/setup", "set=ground:\n  - {name: strip, area: 2 ac}\nlots:\n  - {name: T-1, species: timothy}\nplan:\n  - ground: strip\n    seed: [{lot: T-1, box: grain, live: 8 lb/ac}]")
	if n := d.View().Entries - before; code != http.StatusOK || n != 3 {
		t.Errorf("answered %d, %d entries", code, n)
	}
	if g := ground(t, d.handset, "strip"); len(g.Plan) != 1 {
		t.Errorf("the plan of what is new is %v", g.Plan)
	}
}

// When it comes up is counted from the last day of sowing, by the published
// days: oats 5 to 10 (7 CFR 201.58, table 2).
func TestComeUp(t *testing.T) {
	d := crewed(t)
	body := d.get("/comeup")
	for _, want := range []string{"9 Apr 2026", "14 Apr 2026 to 19 Apr 2026", "too soon to look", "7 CFR 201.58"} {
		if !strings.Contains(body, want) {
			t.Errorf("lacks %q:\n%s", want, between(body, "<tbody>", "</tbody>"))
		}
	}
}
