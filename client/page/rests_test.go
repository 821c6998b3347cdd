package page_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"turnrow/client/page"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// doubted is a farm whose figures are in doubt in many ways: what two people
// wrote apart, and what is unlikely as it was written.
func doubted(t *testing.T) *device {
	t.Helper()
	day := &clock{at: time.Date(2026, 4, 9, 7, 10, 0, 0, time.UTC)}
	h := newHouseAt(t, day.now)
	ada := foundAt(t, h.FoundingAddress(), day.now)
	ben := joinAt(t, ada, "Ben", entry.Operator, day.now)
	aDay(t, ada, day.pass)
	drill, grain, legume := ada.View().Drills[0].ID, box(t, ada, "grain").ID, box(t, ada, "legume").ID
	oat, clover := lot(t, ada, "O-1").ID, lot(t, ada, "C-7").ID
	bench, knoll := ground(t, ada, "bench").ID, ground(t, ada, "knoll").ID
	fill := record(t, ada, &entry.Filled{Box: legume, Lot: clover, Bags: 500})[0]
	meet(t, ada, ben)
	for i, c := range []*handset{ada, ben} {
		n := int64(i)
		record(t, c, &entry.DialMoved{Box: grain, To: units.Dial(30_000 + 5000*n), Why: "apart"},
			&entry.Filled{Box: grain, Lot: oat, Bags: 2000},
			&entry.PlanSet{Ground: bench, Depth: entry.Some(units.Length(10_000 + 5_000*n))},
			&entry.ChartPointSet{Box: legume, Species: "red clover", Dial: 30_000, Rate: units.RatePerArea(1_500_000 + 300_000*n)},
			&entry.LotSet{Lot: clover, Tested: entry.Some(20_400 + n)},
			&entry.DrillSet{Drill: drill, Spacing: entry.Some(units.Length(190_500 + 5_000*n))},
			&entry.Amended{Entry: fill, Body: &entry.Filled{Box: legume, Lot: clover, Bags: units.Count(600 + 100*n)}},
			&entry.MeterRead{Drill: drill, Reading: 3_400, Ground: []entry.ID{bench, knoll}[i]})
	}
	meet(t, ada, ben)
	meet(t, ada)
	hour := func(bodies ...entry.Body) {
		for _, b := range bodies {
			day.pass(20 * time.Minute)
			record(t, ada, b)
		}
	}
	hour(&entry.Caught{Box: grain, Lot: oat, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{1_300_000}},
		&entry.MeterRead{Drill: drill, Reading: 2_000, Ground: bench},
		&entry.LevelRead{Box: grain, Mass: entry.Some(units.Mass(20_000_000))},
		&entry.LevelRead{Box: legume, Mass: entry.Some(units.Mass(200_000_000))},
		&entry.Filled{Box: legume, Lot: oat, Bags: 1000},
		&entry.Filled{Box: grain, Lot: oat, Bags: 40_000},
		&entry.Filled{Box: grain, Lot: oat, Mass: 100_000, MassIn: units.InGrams},
		&entry.Drained{Box: legume, Mass: 900_000_000, MassIn: units.InKilograms},
		&entry.DialMoved{Box: legume, To: 59_000, Why: "far"},
		&entry.DialMoved{Box: legume, To: 59_000, Why: "again"},
		&entry.BagsOut{Lot: oat, Bags: 90_000},
		&entry.PlanSet{Ground: knoll, Components: []entry.Component{{Lot: oat, Box: grain, Live: 90_000_000}}},
		&entry.GroundSet{Name: entry.Some("knol"), Area: entry.Some(units.Area(30_000_000))},
		&entry.LotSet{Name: entry.Some("T-9"), Species: entry.Some("timothyy")},
		&entry.LotSet{Lot: oat, Species: entry.Some("cereal rye")},
		&entry.DrillSet{Drill: drill, Spacing: entry.Some(units.Length(1_905_000))},
		&entry.MeterRead{Drill: drill, Reading: 60_000, Ground: bench},
		&entry.GroundFinished{Ground: knoll, Drill: drill, Finished: true})
	day.pass(time.Minute)
	record(t, ada, &entry.MeterRead{Drill: drill, Reading: 75_000, Ground: knoll})
	return serve(t, ada, page.Options{Now: day.now})
}

// withoutFigure are the kinds of doubt that are about who wrote and on what, or
// of which nothing follows for a figure.
var withoutFigure = []farm.DoubtKind{farm.MixedLots, farm.WorkedUnready, farm.NoRight, farm.AfterStop, farm.SameName, farm.WrongClock, farm.Forked, farm.OneInvite}

// named are the things that an entry's body names, by its fields, and what it
// makes.
func named(v *farm.View, id entry.ID, b entry.Body) (ids []entry.ID) {
	if a, ok := b.(*entry.Amended); ok && a.Body != nil {
		b = a.Body
	}
	at := reflect.ValueOf(b).Elem()
	for i := range at.NumField() {
		if ref, ok := at.Field(i).Interface().(entry.ID); ok && !ref.IsZero() {
			ids = append(ids, ref)
		}
	}
	return append(ids, id)
}

// Each view that shows figures of a box, a piece of ground, a lot or a drill has
// the way to every open doubt about what was written of it.
func TestEachFigureInDoubtIsMarked(t *testing.T) {
	d := doubted(t)
	v := d.View()
	views := map[string]string{}
	get := func(path string) string {
		if views[path] == "" {
			views[path] = d.get(path)
		}
		return views[path]
	}
	bodies := map[entry.ID]entry.Body{}
	for _, l := range d.Lines() {
		bodies[l.ID] = l.Body
	}
	seen := map[farm.DoubtKind]bool{}
	for x := range words.Doubts(v) {
		if x.Settled || slices.Contains(withoutFigure, x.Kind) {
			continue
		}
		seen[x.Kind] = true
		var paths []string
		for _, id := range x.Entries {
			for _, of := range named(v, id, bodies[id]) {
				if b, ok := v.BoxOf(of); ok {
					at := "/box/" + b.ID.String()
					paths = append(paths, "/", at, at+"/pictures", at+"/fill", at+"/dial", at+"/catch", at+"/level", at+"/drain")
				} else if g, ok := v.GroundOf(of); ok {
					paths = append(paths, "/ground/"+g.ID.String())
				} else if _, ok := v.DrillOf(of); ok {
					paths = append(paths, "/", "/meter")
				} else if l, ok := v.LotOf(of); ok {
					paths = append(paths, "/lot/"+l.ID.String())
				}
			}
			of := named(v, id, bodies[id])[0]
			if slices.ContainsFunc(v.Grounds, func(g farm.Ground) bool {
				return g.ID == of && x.Kind == farm.TwoPlans || slices.ContainsFunc(g.Plan, func(p farm.Planned) bool { return p.Lot == of })
			}) {
				paths = append(paths, "/plan")
			}
		}
		if len(paths) == 0 {
			t.Errorf("no figure of what %s is about was looked at: %s", x.Kind, x.What)
		}
		for _, path := range paths {
			body := get(path)
			if !strings.Contains(body, `href="/doubt/`+x.ID()+`"`) && !(path == "/plan" && strings.Contains(body, `class="doubtful" href="/doubts"`)) {
				t.Errorf("%s does not mark %s: %s", path, x.Kind, x.What)
			}
		}
	}
	var kinds []string
	for k := range seen {
		kinds = append(kinds, string(k))
	}
	slices.Sort(kinds)
	if len(kinds) < 20 {
		t.Errorf("only %d kinds of doubt", len(kinds))
	}
	t.Logf("%d kinds: %s", len(kinds), strings.Join(kinds, ", "))
}
