package report

import (
	"time"
	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func (r Report) boxAdvice(b farm.Box) answer.BoxAdvice {
	a := answer.BoxAdvice{DryFirst: SideName(b, b.DryFirst), Leftover: []answer.Leftover{}}
	a.ToCatch, _ = r.ToCatch(b)
	a.FillDue, _ = r.FillDue(b)
	if f := b.ForAim; f != nil {
		a.ForAim = &answer.DialForAim{Dial: answer.Number(f.Dial.Float()), Low: answer.Number(f.Low.Float()), High: answer.Number(f.High.Float()), Reached: f.Reached, Next: string(f.Next), Why: f.Why}
	}
	if m := b.MinutesLeft; m != nil {
		a.MinutesLeft = &answer.Minutes{P10: answer.Number(m.P10), P50: answer.Number(m.P50), P90: answer.Number(m.P90)}
	}
	if f := b.Finish; f != nil {
		a.Finish = r.finish(b, f)
	}
	for _, l := range b.Leftover {
		a.Leftover = append(a.Leftover, answer.Leftover{Lot: r.View().NameOf(l.Lot), Lb: answer.Number(l.Mass.Pounds()), LbPerAc: answer.Number(l.Rate.Rate.LbPerAcre())})
	}
	if d := b.Drift; d != nil {
		a.Drift = &answer.Drift{ChangeShare: answer.Number(d.Change), LowShare: answer.Number(d.Low), HighShare: answer.Number(d.High), CertaintyShare: answer.Number(d.Certainty)}
	}
	if b.OffChart > 0 {
		a.OffChartTimes = answer.Some(b.OffChart)
	}
	return a
}

// Total is a sum of masses.
func Total(masses []units.Mass) (sum units.Mass) {
	for _, m := range masses {
		sum += m
	}
	return sum
}

func (r Report) finish(b farm.Box, f *rate.Finish) *answer.Pour {
	a := &answer.Pour{Ground: r.View().NameOf(b.Working), LikelyLb: answer.Number(Total(f.Likely).Pounds()), Lb: answer.Number(Total(f.Sure).Pounds()),
		NowLb: answer.Number(Total(f.Now).Pounds()), LaterLb: answer.Number(f.Later.Pounds()), Bags: f.Bags, Sides: []answer.SidePour{}}
	if len(f.Sure) > 1 {
		for i := range f.Sure {
			a.Sides = append(a.Sides, answer.SidePour{Side: SideName(b, int64(i+1)), LikelyLb: answer.Number(f.Likely[i].Pounds()), Lb: answer.Number(f.Sure[i].Pounds())})
		}
	}
	return a
}

// ToCatch is what a catch at the aim weighs, over the run of the last catch from
// the box or a fiftieth of an acre, and that run in words; nil where that is not
// known. Once a run was weighed, it is what a catch shows where the aim goes out
// in the field.
func (r Report) ToCatch(b farm.Box) (c *answer.ToCatch, over string) {
	d, ok := r.View().DrillOf(b.Drill)
	run, known := d.UsualRun(r.lastCatch(b))
	if !ok || !known || b.Aim == 0 {
		return nil, ""
	}
	m, err := farm.CatchOf(&run, d).Run.Aim(b.CatchAim)
	if err != nil {
		return nil, ""
	}
	over = units.Counted(run.Turns.String(), "turn")
	if run.Distance > 0 {
		over = run.Distance.Format(r.System)
	}
	if run.Width > 0 {
		over += ", " + run.Width.Format(r.System) + " wide"
	} else {
		over += ", " + counted(int(run.Rows), "row")
	}
	return &answer.ToCatch{Grams: answer.Number(m.Grams()), Turns: answer.Number(run.Turns.Float()), Rows: run.Rows}, over
}

func (r Report) lastCatch(b farm.Box) *entry.Caught {
	for i := len(b.Events) - 1; i >= 0; i-- {
		if l, ok := r.Farm.Line(b.Events[i]); ok {
			if c, is := l.Now.(*entry.Caught); is {
				return c
			}
		}
	}
	return nil
}

// FillDue is when a box wants seed next, and the time of day; nil where nothing
// says how long the seed lasts.
func (r Report) FillDue(b farm.Box) (due *answer.FillDue, clock string) {
	d, ok := r.View().DrillOf(b.Drill)
	if !ok || b.AcresLeft == nil || b.Left == 0 {
		return nil, ""
	}
	at, ok := d.ReadingAfter(b.AcresLeft.P10)
	if !ok {
		return nil, ""
	}
	due = &answer.FillDue{Reading: answer.Number((at / 100 * 100).Float())}
	read, ok := r.Farm.Line(d.Reading.Entry)
	if m := b.MinutesLeft; m != nil && ok {
		t := time.UnixMilli(read.Clock).In(r.zone()).Add(time.Duration(m.P10 * float64(time.Minute))).Truncate(5 * time.Minute)
		due.Clock, clock = t.Format(time.RFC3339), t.Format("15:04")
	}
	return due, clock
}
