package rate

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func grams(x float64) units.Mass { return want(units.MassFromGrams(x)) }

// sixteen is four rows of a sixteen-row drill at 7.5 in, caught over twenty
// turns of a wheel that rolls 8 ft 2 in.
func sixteen() Catch {
	return Catch{Run: Run{Roll: want(units.ParseLength("8 ft 2 in")), Turns: turns(20), Rows: 4, Spacing: inches(7.5), Drill: 16},
		Caught: []units.Mass{grams(100)}}
}

// What the engine aims at and what it makes of catching just that are inverse.
func TestCatchAndAimAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := Run{Roll: feet(rapid.Float64Range(2, 12).Draw(t, "roll")), Turns: turns(float64(rapid.IntRange(10, 200).Draw(t, "turns"))),
			Rows: rapid.IntRange(1, 30).Draw(t, "rows"), Spacing: inches(rapid.Float64Range(4, 15).Draw(t, "spacing"))}
		rate := lbPerAcre(rapid.Float64Range(2, 200).Draw(t, "rate"))
		aim, err := run.Aim(rate)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Catch{Run: run, Caught: []units.Mass{aim}}.Rate()
		slack := 1 + float64(rate)/float64(aim) // half a milligram of the aim
		if err != nil || math.Abs(float64(got.Rate-rate)) > slack {
			t.Fatalf("%v aims at %v, which shows %v, %v", rate, aim, got.Rate, err)
		}
		if got.Low > got.Rate || got.High < got.Rate {
			t.Fatalf("%v lies outside %v to %v", got.Rate, got.Low, got.High)
		}
	})
}

// US units or metric, turns or the distance they make, rows or the width they
// make: the same ground gives the same rate.
func TestSameGroundSameRate(t *testing.T) {
	us := sixteen()
	metric := us
	metric.Roll, metric.Spacing = want(units.ParseLength("2.4892 m")), want(units.ParseLength("19.05 cm"))
	driven := us
	driven.Roll, driven.Turns, driven.Distance = 0, 0, want(units.ParseLength("163 ft 4 in"))
	wide := us
	wide.Rows, wide.Spacing, wide.Width = 0, 0, want(units.ParseLength("30 in"))
	first := want(us.Rate())
	for name, c := range map[string]Catch{"metric": metric, "distance": driven, "width": wide} {
		if got := want(c.Rate()); got.Rate != first.Rate || got.Area != first.Area {
			t.Errorf("%s: %v on %v, want %v on %v", name, got.Rate, got.Area, first.Rate, first.Area)
		}
	}
}

// Each part of the uncertainty by hand. Repeats: 2.5 %. Scale: 1 g ÷ √12 of 100 g.
// Turns: ⅛ ÷ √3 of 20. Rows: 7 % ÷ √4 × √(1 − 4/16). Roll: 1 %.
func TestStdByHand(t *testing.T) {
	c := sixteen()
	r := want(c.Rate())
	agree(t, "repeats", r.Std.Repeats, 0.025, 1e-12)
	agree(t, "scale", r.Std.Scale, 0.01/math.Sqrt(12), 1e-12)
	agree(t, "turns", r.Std.Turns, 0.125/20/math.Sqrt(3), 1e-12)
	agree(t, "rows", r.Std.Rows, 0.035*math.Sqrt(0.75), 1e-12)
	repeats, rows, rest := 0.025*0.025, 0.035*0.035*0.75, r.Std.Scale*r.Std.Scale+r.Std.Turns*r.Std.Turns+0.01*0.01
	all := repeats + rows + rest
	agree(t, "together", r.Spread.Var, all, 1e-12)
	// Welch and Satterthwaite: 4 degrees of freedom for the repeats, 8 for the rows.
	agree(t, "degrees of freedom", r.Spread.DF, all*all/(repeats*repeats/4+rows*rows/8), 1e-6)
	student := distuv.StudentsT{Sigma: 1, Nu: r.Spread.DF}.Quantile(0.95)
	agree(t, "90 %", r.Half(), math.Exp(student*math.Sqrt(all))-1, 1e-6)

	c.Weighings, c.Resolution, c.PartTurn, c.Rows, c.Caught = 2, grams(0.1), turns(0.5), 16, []units.Mass{grams(400)}
	r = want(c.Rate())
	agree(t, "two weighings", r.Std.Scale, 0.1/400*math.Sqrt(2.0/12), 1e-12)
	agree(t, "half a turn", r.Std.Turns, 0.5/20/math.Sqrt(3), 1e-12)
	if r.Std.Rows != 0 {
		t.Errorf("all rows caught leave a doubt of %v", r.Std.Rows)
	}

	c = sixteen()
	c.Roll, c.Turns, c.Distance = 0, 0, feet(150)
	agree(t, "a foot of 150", want(c.Rate()).Std.Turns, 1.0/150/math.Sqrt(3), 1e-12)
	c.PartDistance = feet(3)
	agree(t, "three feet of 150", want(c.Rate()).Std.Turns, 3.0/150/math.Sqrt(3), 1e-12)
}

// Rows weighed apart: their own squares join the eight that the published
// spread counts for, and the scale is read four times.
func TestRowsWeighedApart(t *testing.T) {
	c := sixteen()
	c.Caught, c.RowMasses, c.Resolution = nil, []units.Mass{grams(24), grams(26), grams(25), grams(25)}, grams(0.01)
	r := want(c.Rate())
	own := (2.0 / 3) / 25 / 25
	agree(t, "rows", r.Std.Rows, math.Sqrt((8*0.07*0.07+3*own)/11*(1.0/4-1.0/16)), 1e-9)
	agree(t, "scale", r.Std.Scale, 0.01*math.Sqrt(4.0/12)/100, 1e-9)
	c.Caught = []units.Mass{grams(100)}
	if r = want(c.Rate()); r.Mass != grams(100) {
		t.Errorf("mass %v", r.Mass)
	}
}

// A row that gave nothing is one row of the catch.
func TestBlockedRow(t *testing.T) {
	c := sixteen()
	c.Caught, c.RowMasses = nil, []units.Mass{grams(24), 0, grams(25), grams(26)}
	if r := want(c.Rate()); r.Mass != grams(75) || r.Std.Rows < 0.15 {
		t.Errorf("%v with rows ±%v: a blocked row is as wide a spread as rows have", r.Mass, r.Std.Rows)
	}
}

// The worked figures of the method, at 20 turns and one gram.
func TestWorkedFigures(t *testing.T) {
	c := sixteen()
	c.Rows, c.Caught = 16, []units.Mass{grams(510)}
	r := want(c.Rate())
	h := r.Help()
	if percentHalf(h.Half) != "5.5 %" || h.Next != RepeatCatch || percentHalf(h.After) != "3.8 %" {
		t.Errorf("510 g once: %+v, want ±5.5 %%, repeat the catch, ±3.8 %%", h)
	}
	c.Caught = []units.Mass{grams(8), grams(8), grams(8)}
	if h = want(c.Rate()).Help(); percentHalf(h.Half) != "6.7 %" || h.Next != TurnLonger {
		t.Errorf("8 g three times: %+v, want ±6.7 %%, turn longer", h)
	}
}

// One catch of a whole width by its width alone has the same uncertainty as one of
// all rows; a width that may hold some rows only has the uncertainty of those.
func TestWidthCountsItsRows(t *testing.T) {
	whole := sixteen()
	whole.Rows, whole.Spacing, whole.Width, whole.Drill = 0, 0, feet(10), 0
	rows := sixteen()
	rows.Rows = 16
	agree(t, "whole width", want(whole.Rate()).Half(), want(rows.Rate()).Half(), 1e-9)
	four := sixteen()
	part := four
	part.Rows, part.Width = 0, inches(30)
	agree(t, "30 in at 7.5 in", want(part.Rate()).Half(), want(four.Rate()).Half(), 1e-12)
	part.Rows, part.Spacing = 4, 0
	agree(t, "30 in of 4 rows", want(part.Rate()).Half(), want(four.Rate()).Half(), 1e-12)
	part.Rows = 0 // 30 in of a drill of 16 rows: it may be one
	if want(part.Rate()).Half() <= want(four.Rate()).Half() {
		t.Error("rows that nobody counted make a width better known")
	}
	part.Rows, part.Spacing, part.Width = 0, inches(7.5), feet(11)
	if err := second(part.Rate()); !errors.Is(err, units.ErrRange) {
		t.Errorf("more rows in the width than the drill has: %v", err)
	}
}

func TestNothingCame(t *testing.T) {
	c := sixteen()
	c.Caught = []units.Mass{0, 0}
	r := want(c.Rate())
	if !r.Plugged || r.Rate != 0 || r.Low != 0 || r.High <= 0 || r.High > lbPerAcre(0.2) {
		t.Errorf("nothing came: %+v", r)
	}
	if text := r.Advice(units.US); !strings.Contains(text, "plugs the meter") {
		t.Errorf("%q", text)
	}
	c.Caught = []units.Mass{grams(100), 0, grams(103)}
	r = want(c.Rate())
	if r.Plugged || r.Mass != grams(101.5) || len(r.Aside) != 1 || !r.Aside[0].Slip.Plugged || r.Aside[0].Repeat != 1 {
		t.Errorf("one of three: %v, aside %+v", r.Mass, r.Aside)
	}
}

// What Needs asks for brings the interval to ±5 %, and one turn, row or catch
// less does not.
func TestNeedsAreEnoughAndNotTooMuch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := sixteen()
		c.Rows = rapid.IntRange(1, 16).Draw(t, "rows")
		c.Turns = turns(float64(rapid.IntRange(1, 60).Draw(t, "turns")))
		for range rapid.IntRange(1, 4).Draw(t, "repeats") {
			c.Caught = append(c.Caught, grams(float64(rapid.IntRange(96, 104).Draw(t, "grams"))))
		}
		n, err := c.Needs()
		if err != nil {
			t.Fatal(err)
		}
		r := want(c.Rate())
		half := func(p pooled) float64 { s, _ := p.std(); return halfShare(s) }
		if n.Turns > 0 {
			if got := half(r.pool.longer(n.Turns.Float() / c.Turns.Float())); got > 0.05*(1+1e-9) {
				t.Fatalf("%v turns give ±%v", n.Turns, got)
			}
			if got := half(r.pool.longer((n.Turns.Float() - 1) / c.Turns.Float())); n.Turns > c.Turns && got < 0.05 {
				t.Fatalf("%v turns are more than needed", n.Turns)
			}
		}
		if n.Rows > 16 {
			t.Fatalf("%d rows of 16", n.Rows)
		}
		if n.Enough != (r.Half() <= 0.05) || n.Enough && n.Catches != r.Masses {
			t.Fatalf("%+v at ±%v", n, r.Half())
		}
	})
}

func TestAdviceInWords(t *testing.T) {
	once := sixteen()
	once.Rows, once.Caught = 16, []units.Mass{grams(400)}
	got, err := once.Advice(units.US)
	if err != nil || got != "23.5 lb/ac, nine in ten 22.2 to 24.9 lb/ac (±5.5 %). Widest doubt: repeat catches (drills differ by 0.3 to 5.5 %; "+
		"yours was caught once). To know it better, repeat the catch, which makes it ±3.8 %" {
		t.Errorf("%q, %v", got, err)
	}
	once.Caught = append(once.Caught, grams(404))
	if got, err := once.Advice(units.Metric); err != nil || got != "26.5 kg/ha, nine in ten 25.5 to 27.5 kg/ha (±3.5 %)" {
		t.Errorf("%q, %v", got, err)
	}
	narrow := sixteen()
	narrow.Caught = []units.Mass{grams(100), grams(101), grams(100), grams(102)}
	if got, err := narrow.Advice(units.US); err != nil || !strings.HasSuffix(got, "the rows that were not caught. To know it better, catch more rows, which makes it ±4 %") {
		t.Errorf("%q, %v", got, err)
	}
	driven := sixteen()
	driven.Rows, driven.Roll, driven.Turns, driven.Distance, driven.Caught = 16, 0, 0, feet(10), []units.Mass{grams(20), grams(21)}
	if got, err := driven.Advice(units.US); err != nil || !strings.Contains(got, "the ends of the run. To know it better, drive further") {
		t.Errorf("%q, %v", got, err)
	}
}

func TestDecide(t *testing.T) {
	c := sixteen()
	c.Rows, c.Caught = 16, []units.Mass{grams(398), grams(402), grams(400)}
	good := want(c.Rate())
	shown := good.Rate.LbPerAcre()
	c.Rows, c.Caught = 1, []units.Mass{grams(25)}
	loose := want(c.Rate())
	for _, d := range []struct {
		r      CatchRate
		target float64
		want   Decision
	}{
		{good, shown, Go}, {good, shown / 1.04, Go}, {good, shown * 1.04, Go},
		{good, shown * 1.08, MoveDial}, {good, shown / 1.2, MoveDial},
		{loose, shown, CatchAgain}, {loose, shown * 1.1, CatchAgain}, {loose, shown * 2, MoveDial},
	} {
		if got, err := d.r.Decide(lbPerAcre(d.target)); err != nil || got != d.want {
			t.Errorf("%v against %v lb/ac: %v, %v; want %v", d.r.Rate, d.target, got, err, d.want)
		}
	}
	if _, err := good.Decide(0); !errors.Is(err, units.ErrRange) {
		t.Errorf("no target: %v", err)
	}
}

// Wyoming Livestock Roundup's whole sum (rows A001 to A005), on paper.
func TestCatchOnPaper(t *testing.T) {
	c := Catch{Run: wyoming.run(), Caught: []units.Mass{pounds(2.0 / 16)}}
	lines, err := c.Explain(units.US)
	if err != nil || !slices.Equal(lines, []string{
		"distance = 10 turns × roll 8.5 ft = 85 ft",
		"width = 10 rows × 7 in = 5.833 ft",
		"area = 85 ft × 5.833 ft = 495.8 ft2 = 0.01138 ac",
		"rate = 2 oz ÷ 0.01138 ac = 10.98 lb/ac",
		"catches at one setting differ by 2.5 % (caught once: by published drills, 0.3 to 5.5 %)",
		"doubt: repeats 2.5 %, turns 0.72 %, scale 0.51 %, rows 2.2 %, roll 1 %; together, in squares, 3.6 %",
		"nine times in ten between 10.3 and 11.8 lb/ac (±6.6 %; t = 1.77)"}) {
		t.Errorf("%q, %v", lines, err)
	}
	lines, err = c.Run.ExplainAim(lbPerAcre(11), units.Metric)
	if err != nil || lines[len(lines)-1] != "aim = 12.33 kg/ha × 0.004606 ha = 56.79 g" {
		t.Errorf("%q, %v", lines, err)
	}
	c.Caught = append(c.Caught, pounds(2.2/16))
	if lines, err = c.Explain(units.US); err != nil || lines[3] != "mass = mean of 2 catches = 2.1 oz" || !strings.Contains(lines[5], "and these catches") {
		t.Errorf("%q, %v", lines, err)
	}
}

func TestSideAims(t *testing.T) {
	run := sixteen().Run
	aims := want(run.SideAims(lbPerAcre(12), []int{10, 6}))
	run.Rows = 16
	if whole := want(run.Aim(lbPerAcre(12))); math.Abs(float64(aims[0]+aims[1]-whole)) > 1 || aims[0] <= aims[1] {
		t.Errorf("%v and %v of %v", aims[0], aims[1], whole)
	}
	if err := second(run.SideAims(lbPerAcre(12), []int{8, 0})); !errors.Is(err, units.ErrRange) {
		t.Errorf("a side without rows: %v", err)
	}
}

func TestCatchRefuses(t *testing.T) {
	for name, spoil := range map[string]func(*Catch){
		"wheel roll":         func(c *Catch) { c.Roll = 0 },
		"number of turns":    func(c *Catch) { c.Turns = 0 },
		"distance":           func(c *Catch) { c.Distance = feet(10) },
		"number of rows":     func(c *Catch) { c.Rows = 0 },
		"row spacing":        func(c *Catch) { c.Spacing = -1 },
		"width":              func(c *Catch) { c.Width = feet(10) },
		"rows caught":        func(c *Catch) { c.Rows = 17 },
		"rows of the drill":  func(c *Catch) { c.Drill = -1 },
		"mass caught":        func(c *Catch) { c.Caught = []units.Mass{-1} },
		"rows named":         func(c *Catch) { c.Which = []int{1, 2} },
		"row":                func(c *Catch) { c.Which = []int{1, 2, 3, 17} },
		"way of catching":    func(c *Catch) { c.Way = 3 },
		"scale's resolution": func(c *Catch) { c.Resolution = -1 },
		"weighings":          func(c *Catch) { c.Weighings = -1 },
		"part of a turn":     func(c *Catch) { c.PartTurn = turns(21) },
		"part of the distance": func(c *Catch) {
			c.PartDistance = -1
		},
		"row masses":            func(c *Catch) { c.RowMasses = []units.Mass{grams(5)} },
		"mass of a row":         func(c *Catch) { c.RowMasses = []units.Mass{grams(5), -1, 1, 1} },
		"sum of the row masses": func(c *Catch) { c.RowMasses = []units.Mass{grams(5), grams(5), grams(5), grams(5)} },
	} {
		c := sixteen()
		spoil(&c)
		_, err := c.Rate()
		var detail *RangeError
		if !errors.As(err, &detail) || detail.Quantity != name || !errors.Is(err, units.ErrRange) {
			t.Errorf("%s: %v", name, err)
		}
		for what, e := range map[string]error{"needs": second(c.Needs()), "advice": second(c.Advice(units.US)), "explain": second(c.Explain(units.US))} {
			if e == nil {
				t.Errorf("%s: %s passed", name, what)
			}
		}
	}
	c := sixteen()
	c.Caught = nil
	if err := second(c.Rate()); !errors.Is(err, units.ErrRange) {
		t.Errorf("nothing caught: %v", err)
	}
	if err := second(PoolCatches(nil)); !errors.Is(err, units.ErrRange) {
		t.Errorf("no catches: %v", err)
	}
	moving := sixteen()
	moving.Way = Moving
	if err := second(PoolCatches([]Catch{sixteen(), moving})); !errors.Is(err, units.ErrRange) {
		t.Errorf("standing and moving: %v", err)
	}
	if err := second(sixteen().Aim(0)); !errors.Is(err, units.ErrRange) {
		t.Errorf("no rate: %v", err)
	}
	if err := second(sixteen().Run.ExplainAim(0, units.US)); !errors.Is(err, units.ErrRange) {
		t.Errorf("no rate on paper: %v", err)
	}
}

// Four of twelve rows caught: what the rows differ by (7 %) is the widest uncertainty
// by far, and a box's advice says so as the catch's own does.
func TestMoreRowsHelpADialToo(t *testing.T) {
	c := sixteen()
	c.Rows, c.Drill = 4, 12
	c.Caught = []units.Mass{grams(106)}
	r := want(c.Rate())
	if h := r.Help(); h.Next != MoreRows {
		t.Fatalf("the catch says %q", h.Next)
	}
	for _, box := range []Box{grainBox, {To: 100_000}} {
		f := want(FitBox(box, []Measured{r.Measured(40_000)}))
		_, why, err := f.Next(40_000)
		if err != nil || !strings.Contains(why, string(MoreRows)) {
			t.Errorf("the box says %q, %v", why, err)
		}
		after := f.help(40_000).After
		c.Rows, c.Caught = 8, []units.Mass{grams(212)}
		wider := want(FitBox(box, []Measured{want(c.Rate()).Measured(40_000)}))
		e := want(wider.RateAt(40_000))
		agree(t, "as wide as said", after, e.Half(), 0.02)
		c.Rows, c.Caught = 4, []units.Mass{grams(106)}
	}
}
