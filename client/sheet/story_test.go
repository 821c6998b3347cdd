package sheet_test

import (
	"testing"
	"time"

	"turnrow/client/crewtest"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// story is two invented days of an invented crew, with a bit of everything
// that a sheet shows.
type story struct {
	*crew
	ada, ben, cleo            int
	drill, grain, legume      entry.ID
	oat, fescue, clover       entry.ID
	bench, mill, checks       entry.ID
	struckFill, amendedDial   entry.ID
	firstSetting, lastSetting entry.ID
}

// The corners of an invented bench, in ten-millionths of a degree.
var benchRing = entry.Ring{-795_000_000, 382_000_000, -794_981_000, 382_001_000, -794_979_000, 382_014_000, -794_992_000, 382_017_000, -795_002_000, 382_009_000}

func newStory(t crewtest.T, metric bool) *story {
	s := &story{crew: found(t, time.Date(2026, 9, 14, 5, 40, 0, 0, zone), metric)}
	s.ben, s.cleo = s.Join("Ben", entry.Operator), s.Join("Cléo", entry.Helper)
	s.setUp()
	s.firstDay()
	s.secondDay()
	return s
}

func (s *story) setUp() {
	s.drill = s.Write(s.ada, &entry.DrillSet{Name: entry.Some("borrowed drill"), Rows: entry.Some(int64(16)),
		Spacing: entry.Some(units.Length(190_500)), Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
	s.grain = s.Write(s.ada, &entry.BoxSet{Drill: s.drill, Name: entry.Some("grain"), Meter: entry.Some("fluted roll"),
		DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(100_000)), Capacity: entry.Some(units.Volume(423_000))})
	s.legume = s.Write(s.ada, &entry.BoxSet{Drill: s.drill, Name: entry.Some("legume"), Meter: entry.Some("fluted roll"),
		DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(60_000)), Sides: []string{"left", "right"}})
	for _, p := range []struct {
		box     entry.ID
		species string
		dial    units.Dial
		rate    string
	}{{s.grain, "oat", 20_000, "18 lb/ac"}, {s.grain, "oat", 40_000, "41 lb/ac"}, {s.grain, "oat", 60_000, "66 lb/ac"},
		{s.legume, "red clover", 10_000, "4 lb/ac"}, {s.legume, "red clover", 20_000, "9 lb/ac"}, {s.legume, "red clover", 30_000, "14 lb/ac"}} {
		s.Write(s.ada, &entry.ChartPointSet{Box: p.box, Species: p.species, Dial: p.dial, Rate: rateOf(p.rate)})
	}
	s.oat = s.Write(s.ada, &entry.LotSet{Name: entry.Some("O-1"), Species: entry.Some("oat"), Variety: entry.Some("Windrow"), Bag: entry.Some(lb("50 lb")), Price: entry.Some(units.Money(1450)), Tested: entry.Some(int64(20_605))})
	s.label(s.oat, entry.LabelLine{Species: "oat", Variety: "Windrow", Share: entry.Some(pct(98)), Germination: entry.Some(pct(90))})
	s.fescue = s.Write(s.ada, &entry.LotSet{Name: entry.Some("F-22"), Species: entry.Some("tall fescue"), Bag: entry.Some(lb("50 lb")), Price: entry.Some(units.Money(9275)), Endophyte: entry.Some("novel")})
	s.label(s.fescue, entry.LabelLine{Species: "tall fescue", Share: entry.Some(pct(97)), Germination: entry.Some(pct(85))})
	s.clover = s.Write(s.ada, &entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover"), Bag: entry.Some(lb("50 lb")),
		Price: entry.Some(units.Money(11_833)), Inoculant: entry.Some("on the seed"), Tested: entry.Some(int64(20_200))})
	s.label(s.clover, entry.LabelLine{Species: "red clover", Share: entry.Some(pct(99)), Germination: entry.Some(pct(80)), Hard: entry.Some(pct(10)), Coating: entry.Some(pct(34))})
	s.bench = s.Write(s.ada, &entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(areaOf("7.5 ac")), Slope: entry.Some(pct(12)),
		State: entry.Some(entry.ClearedGround), Spray: entry.Some("2,4-D in spring"), Boundary: []entry.Ring{benchRing}})
	s.mill = s.Write(s.ada, &entry.GroundSet{Name: entry.Some("mill bottom"), Area: entry.Some(areaOf("3 ac")), State: entry.Some(entry.WornSod),
		Notes: entry.Some("Wet at the lower end.")})
	s.Write(s.ada, &entry.PlanSet{Ground: s.bench, Depth: entry.Some(units.Length(12_700)), Components: []entry.Component{
		{Lot: s.oat, Box: s.grain, Live: rateOf("30 lb/ac")}, {Lot: s.clover, Box: s.legume, Live: rateOf("6 lb/ac")}}})
	s.Write(s.ada, &entry.PlanSet{Ground: s.mill, Components: []entry.Component{{Lot: s.fescue, Box: s.grain, Live: rateOf("18 lb/ac")}}})
	s.checks = s.Write(s.ada, &entry.ChecksSet{Version: 1, Items: []entry.CheckItem{
		{Name: "engine off and key out", Required: true}, {Name: "hoses tied clear", Required: true}, {Name: "gloves in the cab"}}})
	s.Write(s.cleo, &entry.BagsIn{Lot: s.oat, Bags: 6000, Note: "from the co-op"})
	s.Write(s.cleo, &entry.BagsIn{Lot: s.clover, Bags: 3000})
	s.Write(s.cleo, &entry.BagsIn{Lot: s.fescue, Bags: 2000})
}

// label writes what the label of a lot says of its one seed.
func (s *story) label(lot entry.ID, line entry.LabelLine) {
	s.Write(s.ada, &entry.LabelSet{Lot: lot, Lines: []entry.LabelLine{line}})
}

// catchOf writes a catch of 20 turns and four rows that shows a rate.
func (s *story) catchOf(box, lot entry.ID, dial units.Dial, grams string) {
	s.Write(s.ben, &entry.Caught{Box: box, Lot: lot, Dial: dial, Turns: 20_000, Rows: 4, Masses: []units.Mass{lb(grams)}, Resolution: 1000})
}

func (s *story) firstDay() {
	s.At(0, 7, 0)
	hitch := s.Write(s.ben, &entry.HitchBegun{Checks: s.checks, Drill: s.drill, Tractor: "the old blue one"})
	s.Write(s.ben, &entry.ItemSigned{Hitch: hitch, Item: 1})
	s.Write(s.cleo, &entry.ItemSigned{Hitch: hitch, Item: 2}) // a helper's does not count
	s.Write(s.ben, &entry.ItemSigned{Hitch: hitch, Item: 2})
	s.Write(s.ben, &entry.DialMoved{Box: s.grain, To: 33_000, Why: "chart, for 34 lb/ac", Aim: rateOf("34 lb/ac")})
	s.Write(s.ben, &entry.DialMoved{Box: s.legume, To: 21_000, Why: "chart, for coated seed"})
	s.catchOf(s.grain, s.oat, 33_000, "146 g")
	s.Write(s.cleo, &entry.Filled{Box: s.grain, Lot: s.oat, Bags: 5000, Note: "levelled by hand"})
	s.Write(s.cleo, &entry.Filled{Box: s.legume, Lot: s.clover, Bags: 2000})
	s.struckFill = s.Write(s.cleo, &entry.Filled{Box: s.grain, Lot: s.fescue, Bags: 1000})
	s.Write(s.cleo, &entry.Struck{Entry: s.struckFill, Why: "that bag went back on the wagon"})
	s.Write(s.ben, &entry.MeterRead{Drill: s.drill, Reading: 0, Ground: s.bench})
	s.At(0, 9, 30)
	s.Write(s.ben, &entry.MeterRead{Drill: s.drill, Reading: 3100, Ground: s.bench})
	s.firstSetting = s.Write(s.ben, &entry.DialMoved{Box: s.grain, From: entry.Some(units.Dial(33_000)), To: 31_000, Why: "a bit heavy", Reading: entry.Some(units.Reading(3100))})
	s.lastSetting = s.Apart(s.ada, &entry.DialMoved{Box: s.grain, To: 34_000, Why: "the plan at the house says so"})
	s.Write(s.ada, &entry.Settled{Doubt: "two-settings", Entries: []entry.ID{s.firstSetting, s.lastSetting}, Dial: entry.Some(units.Dial(31_000)), Why: "Ben read it"})
	hold := s.Write(s.ben, &entry.HoldRaised{Drill: s.drill, Why: "hose weeping"})
	s.Write(s.ben, &entry.HoldReleased{Drill: s.drill, Holds: []entry.ID{hold}, Why: "new seal in, no one between"})
	s.At(0, 12, 10)
	s.Write(s.ben, &entry.MeterRead{Drill: s.drill, Reading: 7400, Ground: s.bench})
	s.Write(s.cleo, &entry.Drained{Box: s.grain, All: true, Mass: lb("7 lb"), Where: "back in the bag"})
	s.Write(s.cleo, &entry.Drained{Box: s.legume, All: true, Mass: lb("26 lb"), Where: "back in the bag"})
	s.Write(s.cleo, &entry.Noted{Text: "Rain from four, +12 mm by the gauge", About: s.bench})
}

func (s *story) secondDay() {
	s.At(1, 8, 0)
	s.amendedDial = s.Write(s.ben, &entry.DialMoved{Box: s.grain, To: 45_000, Why: "fescue"})
	s.Write(s.ben, &entry.Amended{Entry: s.amendedDial, Why: "misread", Body: &entry.DialMoved{Box: s.grain, To: 54_000, Why: "fescue"}})
	s.catchOf(s.grain, s.fescue, 54_000, "92 g")
	s.Write(s.cleo, &entry.Filled{Box: s.grain, Lot: s.fescue, Mass: lb("72 lb")})
	s.Write(s.ben, &entry.MeterRead{Drill: s.drill, Reading: 10_300, Ground: s.mill})
	s.Write(s.cleo, &entry.LevelRead{Box: s.grain, Mass: entry.Some(lb("10 lb"))})
	s.Write(s.ada, &entry.BagsOut{Lot: s.clover, Bags: 500, Note: "back to the dealer"})
	s.Write(s.ada, &entry.StandCounted{Ground: s.bench, Frame: areaOf("1 ft2"), Day: 20_711,
		Counts: []entry.SpeciesCount{{Species: "oat", Plants: []int64{11, 9, 14, 12, 8}}}})
}

func TestTheStoryHoldsDoubtsAsMeant(t *testing.T) {
	kinds := map[string]bool{}
	for d := range words.Doubts(newStory(t, false).State.View()) {
		kinds[string(d.Kind)] = d.Settled
	}
	if settled, ok := kinds["two-settings"]; !ok || !settled {
		t.Errorf("doubts are %v; want two-settings, settled", kinds)
	}
}
