package farm_test

import (
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A piece that is finished wants nothing poured; what the crew takes the counter
// for holds from there on, and not before.
func TestFinishedGround(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.LabelSet{Lot: c.oat, Lines: []entry.LabelLine{{Species: "oat", Share: entry.Some(units.Share(98_000)), Germination: entry.Some(units.Share(90_000))}}})
	live, _ := units.RateFromLbPerAcre(30)
	c.own.write(&entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: live}}})
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 1000})
	c.own.write(&entry.CounterStood{Drill: c.drill, Reading: 212_600, Ground: c.bench})
	if b := boxNow(t, c.own, c.grain); b.Aim == 0 {
		t.Error("work begins on the bench, and the box has no aim")
	}
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 213_600, Ground: c.bench})
	if b := boxNow(t, c.own, c.grain); b.Finish == nil {
		t.Fatal("nothing to pour on a piece of 7.5 ac of which 1 is done")
	}
	c.own.write(&entry.GroundFinished{Ground: c.bench, Drill: c.drill, Finished: true, Correction: entry.Some(int64(950))})
	if b := boxNow(t, c.own, c.grain); b.Finish != nil {
		t.Errorf("the piece is finished: pour %+v", b.Finish)
	}
	if done, _ := doneOn(t, c.own, c.bench); done != 100 {
		t.Errorf("%d hundredths done before the counter was corrected", done)
	}
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench})
	if done, _ := doneOn(t, c.own, c.bench); done != 195 {
		t.Errorf("%d hundredths done, want 1 ac and 0.95", done)
	}
	if out := boxNow(t, c.own, c.grain).Out; len(out) != 2 || out[0].Checked || !out[1].Checked {
		t.Errorf("the counter is checked from its correction on, and not before: %+v", out)
	}
	c.own.write(&entry.GroundFinished{Ground: c.bench, Drill: c.drill})
	if b := boxNow(t, c.own, c.grain); b.Finish == nil {
		t.Error("it is not finished after all, and nothing is to pour")
	}
}

// A box that is planned for two pieces tells its aim on each, and two plans
// show their two values, one of which counts meanwhile.
func TestAimsOnTwoPieces(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.LabelSet{Lot: c.oat, Lines: []entry.LabelLine{{Species: "oat", Share: entry.Some(units.Share(98_000)), Germination: entry.Some(units.Share(90_000))}}})
	knoll := c.own.write(&entry.GroundSet{Name: entry.Some("knoll"), Area: entry.Some(units.Area(121_405_692))})
	plan := func(p *phone, ground entry.ID, lb float64) {
		live, _ := units.RateFromLbPerAcre(lb)
		p.write(&entry.PlanSet{Ground: ground, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: live}}})
	}
	plan(c.own, c.bench, 30)
	plan(c.own, knoll, 36)
	b := boxNow(t, c.own, c.grain)
	if len(b.Aims) != 2 || b.Aim != 0 || b.Aims[0].Rate >= b.Aims[1].Rate {
		t.Errorf("aim %v, aims %+v", b.Aim, b.Aims)
	}
	meet(c.own, c.op)
	plan(c.own, c.bench, 28)
	plan(c.op, c.bench, 33)
	meet(c.own, c.op)
	ds := openDoubts(c.own, farm.TwoPlans)
	if len(ds) != 1 {
		t.Fatalf("%d doubts about two plans", len(ds))
	}
	var what string
	for _, ch := range ds[0].Choices {
		what += ch.What.String() + "\n"
	}
	for _, lb := range []float64{28, 33} {
		live, _ := units.RateFromLbPerAcre(lb)
		if want := message.Of("value.live", message.Rate(live)).String(); strings.Count(what, want) != 1 {
			t.Errorf("choices lack %s:\n%s", want, what)
		}
	}
	if strings.Count(what, "counts-meanwhile(") != 1 {
		t.Errorf("one choice counts meanwhile:\n%s", what)
	}
	g, _ := c.own.state.View().GroundOf(c.bench)
	if len(g.Plan) != 1 {
		t.Errorf("%d seeds planned meanwhile", len(g.Plan))
	}
}

// By the chart alone dial 40 gives 41 lb/ac; 45 went out. From then on the dial
// and the catch for the aim are the field's, and nobody is told that nothing was
// caught.
func TestWhatWasWeighedStandsBehindTheAim(t *testing.T) {
	c := planned(t) // 34 lb/ac
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000, Why: "plan"})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	before := c.box(t)
	if before.CatchAim != before.Aim || before.ForAim.Next != rate.CatchAgain {
		t.Fatalf("before a run is weighed: a catch of %v, %+v", before.CatchAim, before.ForAim)
	}
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
	left, _ := units.MassFromPounds(110)
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	b := c.box(t)
	if lb, want := b.CatchAim.LbPerAcre(), 34.01*41/44.9; lb < want-0.3 || lb > want+0.3 {
		t.Errorf("a catch at the aim shows %v lb/ac, want %v", lb, want)
	}
	f := b.ForAim
	if f == nil || f.Next == rate.CatchAgain || strings.Contains(f.Why, "caught") || f.Dial >= before.ForAim.Dial {
		t.Errorf("for the aim: %+v, before %+v", f, before.ForAim)
	}
	if lb := f.Rate.Rate.LbPerAcre(); lb < 33 || lb > 35 {
		t.Errorf("there the field gets %v lb/ac, want the aim's 34", lb)
	}
}
