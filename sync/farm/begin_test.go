package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

const acre = 40_468_564 // cm²

// doneOn is what was done on a piece of ground, in hundredths of an acre.
func doneOn(t *testing.T, p *phone, ground entry.ID) (hundredths int64, open bool) {
	t.Helper()
	g, ok := p.state.View().GroundOf(ground)
	if !ok {
		t.Fatal("no such ground")
	}
	return (int64(g.Done)*100 + acre/2) / acre, g.Open
}

func openDoubts(p *phone, kind farm.DoubtKind) []farm.Doubt {
	var out []farm.Doubt
	for d := range p.state.View().Doubts() {
		if d.Kind == kind && !d.Settled {
			out = append(out, d)
		}
	}
	return out
}

// No acres follow from a first reading: it is where the counter stood.
func TestAFirstReadingGivesNoAcres(t *testing.T) {
	at := entry.Some[units.Reading]
	for _, tt := range []struct {
		name  string
		write func(c *crew) []entry.Body
		done  int64 // hundredths of an acre
		open  bool
	}{
		{"a reading that fits on the piece", func(c *crew) []entry.Body {
			return []entry.Body{&entry.MeterRead{Drill: c.drill, Reading: 6900, Ground: c.bench}}
		}, 0, true},
		{"a reading that does not", func(c *crew) []entry.Body {
			return []entry.Body{&entry.MeterRead{Drill: c.drill, Reading: 212_600, Ground: c.bench}}
		}, 0, true},
		{"nought", func(c *crew) []entry.Body {
			return []entry.Body{&entry.MeterRead{Drill: c.drill, Ground: c.bench}, &entry.MeterRead{Drill: c.drill, Reading: 2500, Ground: c.bench}}
		}, 250, false},
		{"a begin", func(c *crew) []entry.Body {
			return []entry.Body{&entry.CounterStood{Drill: c.drill, Reading: 212_600}, &entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench}}
		}, 200, false},
		{"a begin said late", func(c *crew) []entry.Body {
			return []entry.Body{&entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench}, &entry.CounterStood{Drill: c.drill, Reading: 212_600}}
		}, 200, false},
		{"two readings and no begin", func(c *crew) []entry.Body {
			return []entry.Body{&entry.MeterRead{Drill: c.drill, Reading: 9900, Ground: c.bench}, &entry.MeterRead{Drill: c.drill, Reading: 10_100, Ground: c.bench}}
		}, 20, true},
		{"others had the drill", func(c *crew) []entry.Body {
			return []entry.Body{&entry.CounterStood{Drill: c.drill, Reading: 212_600}, &entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench},
				&entry.CounterStood{Drill: c.drill, Reading: 230_000}, &entry.MeterRead{Drill: c.drill, Reading: 231_000, Ground: c.bench}}
		}, 300, false},
		{"the first fill", func(c *crew) []entry.Body {
			return []entry.Body{&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2000, Reading: at(212_600)},
				&entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench}}
		}, 200, false},
		{"a catch after seed was poured", func(c *crew) []entry.Body {
			return []entry.Body{&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2000},
				&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 40_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{139_000}, Reading: at(212_600)},
				&entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench}}
		}, 200, true},
		{"set back to nought", func(c *crew) []entry.Body {
			return []entry.Body{&entry.CounterReset{Drill: c.drill, From: 999_900}, &entry.MeterRead{Drill: c.drill, Reading: 1500, Ground: c.bench}}
		}, 150, false},
		{"hectares", func(c *crew) []entry.Body {
			return []entry.Body{&entry.DrillSet{Drill: c.drill, Counter: entry.CountsHectares},
				&entry.CounterStood{Drill: c.drill, Reading: 50_000}, &entry.MeterRead{Drill: c.drill, Reading: 51_000, Ground: c.bench}}
		}, 247, false}, // a hectare is 2.47105 acres (NIST Handbook 44, Appendix C)
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := setUp(t)
			for _, b := range tt.write(c) {
				c.own.write(b)
			}
			done, open := doneOn(t, c.own, c.bench)
			if done != tt.done || open != tt.open {
				t.Errorf("%d hundredths of an acre, the least: %t; want %d, %t", done, open, tt.done, tt.open)
			}
			if n := len(openDoubts(c.own, farm.CounterBegin)); (n > 0) != tt.open {
				t.Errorf("%d doubts about where work began; acres not known: %t", n, tt.open)
			}
		})
	}
}

// What went out of a box since a fill that says what the counter showed is
// metered, though nobody read the counter there.
func TestAFillsOwnReadingCountsSeed(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4000, Reading: entry.Some(units.Reading(212_600))})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 214_600, Ground: c.bench})
	g, _ := c.own.state.View().GroundOf(c.bench)
	if len(g.Sown) != 1 || g.Sown[0].Mass.Pounds() < 80 || g.Sown[0].Mass.Pounds() > 84 {
		t.Errorf("sown %+v; 2 ac at the chart's 41 lb/ac are 82 lb", g.Sown)
	}
}

// Where the counter stood is settled by saying it, once, and not above the
// reading that is in doubt.
func TestWhereWorkBeganIsSettledBySayingIt(t *testing.T) {
	c := setUp(t)
	read := c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 9900, Ground: c.bench})
	say := func(p *phone, at int64) {
		p.write(&entry.Settled{Doubt: string(farm.CounterBegin), Entries: []entry.ID{read}, Choice: entry.BeganAt, Value: entry.Some(at), Why: "by the photo"})
	}
	say(c.own, 10_400)
	if _, open := doneOn(t, c.own, c.bench); !open {
		t.Error("a begin above the reading settles it")
	}
	c.own.write(&entry.Settled{Doubt: string(farm.CounterBegin), Entries: []entry.ID{read}, Why: "looked"})
	if _, open := doneOn(t, c.own, c.bench); !open || len(openDoubts(c.own, farm.CounterBegin)) != 1 {
		t.Error("looking at it says where work began")
	}
	say(c.own, 8400)
	if done, open := doneOn(t, c.own, c.bench); done != 150 || open || len(openDoubts(c.own, farm.CounterBegin)) != 0 {
		t.Errorf("%d hundredths done, open %t", done, open)
	}
	meet(c.own, c.op)
	say(c.own, 8000)
	say(c.op, 8900)
	meet(c.own, c.op)
	if len(openDoubts(c.own, farm.CounterBegin)) != 1 {
		t.Error("two who say otherwise, apart, leave no doubt")
	}
}

// A measure of seed weighs what a measured one of that lot weighed, else by the
// bushel. A cup of 8 fl oz at 60 lb/bu is 6.45 oz: "Bushels, test weights and
// calculations" (Beuerlein, Ohio State University Extension AGF-503-00, 2000).
func TestAMeasureOfSeedWeighs(t *testing.T) {
	c := setUp(t)
	clover := c.own.write(&entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover")})
	c.own.write(&entry.VolumeFilled{Box: c.grain, Lot: clover, Volume: 237})
	in := func() units.Mass {
		b, _ := c.own.state.View().BoxOf(c.grain)
		return b.Left
	}
	if oz := in().Pounds() * 16; oz < 6.44 || oz > 6.47 {
		t.Errorf("a cup of clover is %.3f oz, want 6.45", oz)
	}
	c.own.write(&entry.VolumeWeighed{Lot: clover, Volume: 237, Mass: 200_000})
	if m := in(); m != 200_000 {
		t.Errorf("a cup that was weighed at 200 g is %d mg", m)
	}
	b, _ := c.own.state.View().BoxOf(c.grain)
	if b.LeftStd < 5000 || b.LeftStd > 7000 {
		t.Errorf("standard uncertainty %d mg, want about 3 %%", b.LeftStd)
	}
	c.own.write(&entry.VolumeFilled{Box: c.grain, Lot: clover, Volume: 237, Heaped: true})
	if m := in(); m < 455_000 || m > 456_000 { // 200 g and 1.278 times as much
		t.Errorf("with a heaped cup, %d mg", m)
	}
}

// Whoever read the counter first may say where it stood, and a helper nobody
// else's.
func TestAHelperSaysWhereTheirOwnReadingBegan(t *testing.T) {
	c := setUp(t)
	c.merge()
	say := func(p *phone, read entry.ID) {
		p.write(&entry.Settled{Doubt: string(farm.CounterBegin), Entries: []entry.ID{read}, Choice: entry.BeganAt, Value: entry.Some(int64(8400))})
	}
	say(c.help, c.help.write(c.reads(9900)))
	if done, open := doneOn(t, c.help, c.bench); done != 150 || open || len(openDoubts(c.help, farm.NoRight)) != 0 {
		t.Errorf("%d hundredths done, the least: %t", done, open)
	}
	c = setUp(t)
	read := c.own.write(c.reads(9900))
	c.merge()
	say(c.help, read)
	if _, open := doneOn(t, c.help, c.bench); !open || len(openDoubts(c.help, farm.NoRight)) != 1 {
		t.Error("a helper said it of an owner's reading")
	}
}
