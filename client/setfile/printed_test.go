package setfile

import (
	"slices"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// outcome sets a file's text and gives what is told.
func (r *replica) outcome(text string) []string {
	r.t.Helper()
	f, err := Parse("set.yaml", []byte(text))
	if err != nil {
		r.t.Fatal(err)
	}
	o, err := f.Outcome(r.state.View(), entry.ID{}, r.next)
	if err != nil {
		r.t.Fatal(err)
	}
	r.write(o.Bodies...)
	return o.Notes
}

const bushels = `drill: {name: d, counter: hectares}
boxes:
  - {name: grain, dial: {from: 60, to: 0}}
  - {name: grass, dial: {marks: ["1-1", "1-2", "2-1"]}}
chart:
  - {box: grain, species: oat, points: {40: 0.4 bu/ac, 20: 1 1/4 bu/A at 36 lb/bu}}
  - {box: grass, species: timothy, points: {"1-1": 4 lb/ac, "2-1": 9 lb/ac}}
lots:
  - {name: C-1, species: red clover, bag: 1 bu}
`

// What is printed in bushels is kept so beside what it comes to, told with its
// authority, and not written again.
func TestBushelsAreKeptAsPrinted(t *testing.T) {
	r := newReplica(t)
	notes := r.outcome(bushels)
	for i, want := range []string{
		"set.yaml:6:45: 0.4 bu/ac is 12.8 lb/ac at 32 lb/bu (State of Indiana, Indiana Code 24-6-1-1, weight of a bushel)",
		"set.yaml:6:60: 1 1/4 bu/A at 36 lb/bu is 45 lb/ac at 36 lb/bu (as written)",
		"set.yaml:9:43: 1 bu is 60 lb at 60 lb/bu (State of Indiana, Indiana Code 24-6-1-1, weight of a bushel)",
	} {
		if i >= len(notes) || notes[i] != want {
			t.Errorf("notes are %q, want %q", notes, want)
		}
	}
	v := r.state.View()
	grain, _ := v.BoxNamed(v.Drills[0].ID, "grain")
	if c := grain.Chart; len(c) != 2 || c[1].Printed != "0.4 bu/ac" || c[1].Dial != 40_000 || c[0].Printed != "1 1/4 bu/A at 36 lb/bu" {
		t.Errorf("chart is %+v", c)
	}
	if l, _ := v.LotNamed("C-1"); l.BagPrinted != "1 bu" || l.Bag.Pounds() < 59.99 || l.Bag.Pounds() > 60.01 {
		t.Errorf("lot is %+v", l)
	}
	if grain.DialFrom != 60_000 || grain.DialTo != 0 || v.Drills[0].Counter != entry.CountsHectares {
		t.Errorf("box is %+v, drill is %+v", grain, v.Drills[0])
	}
	grass, _ := v.BoxNamed(v.Drills[0].ID, "grass")
	if m := grass.MarksOf(0); !slices.Equal(m, []string{"1-1", "1-2", "2-1"}) || grass.Chart[1].Dial != farm.MarkedDial(2) || grass.DialTo != 3000 {
		t.Errorf("box is %+v", grass)
	}
	if n := r.seq; len(r.outcome(bushels)) != 0 || r.seq != n {
		t.Error("the same file wrote or told something again")
	}
	r.set(`lots: [{name: C-1, bag: 50 lb}]`)
	if l, _ := r.state.View().LotNamed("C-1"); l.BagPrinted != "" {
		t.Errorf("a bag by mass is still printed as %q", l.BagPrinted)
	}
	r.set(`boxes: [{name: grass, dial: {from: 0, to: 30}}]`)
	if b, _ := r.state.View().BoxNamed(v.Drills[0].ID, "grass"); len(b.MarksOf(0)) != 0 || b.DialTo != 30_000 {
		t.Errorf("with numbers again the box is %+v", b)
	}
}

// A list of seed is the plan of its ground: what it no longer names is taken
// out and told, unless the list only takes seed out.
func TestSeedOutOfTheListIsOutOfThePlan(t *testing.T) {
	r := newReplica(t)
	r.set(wholeDay(t))
	notes := r.outcome("plan:\n  - ground: bench\n    seed: [{lot: C-7, box: legume, live: 6 lb PLS/A}]\n")
	want := "set.yaml:2:5: taken out of the plan of bench, since its list no longer has it: O-1 in grain"
	if len(notes) != 1 || notes[0] != want {
		t.Errorf("told %q, want %q", notes, want)
	}
	bench, _ := r.state.View().GroundNamed("bench")
	if len(bench.Plan) != 1 || !strings.HasPrefix(r.state.View().NameOf(bench.Plan[0].Lot), "C-7") {
		t.Errorf("plan is %+v", bench.Plan)
	}
	r.set("plan: [{ground: bench, depth: 1/2 in}]")
	if bench, _ = r.state.View().GroundNamed("bench"); len(bench.Plan) != 1 {
		t.Errorf("a plan without a list changed its seed: %+v", bench.Plan)
	}
	r.set("plan: [{ground: bench, seed: []}]")
	if bench, _ = r.state.View().GroundNamed("bench"); len(bench.Plan) != 0 {
		t.Errorf("an empty list left %+v", bench.Plan)
	}
}
