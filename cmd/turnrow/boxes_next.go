package main

import (
	"fmt"
	"math"
	"time"

	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// toCatch is what a catch at the aim weighs, over the run of the last catch from
// the box or a fiftieth of an acre, and that run in words; nil where that is not
// known. Once a run was weighed, it is what a catch shows where the aim goes out
// in the field.
func (k *call) toCatch(b farm.Box) (c *answer.ToCatch, over string) {
	d, ok := k.view().DrillOf(b.Drill)
	run, known := d.UsualRun(k.lastCatch(b))
	if !ok || !known || b.Aim == 0 {
		return nil, ""
	}
	m, err := farm.CatchOf(&run, d).Run.Aim(b.CatchAim)
	if err != nil {
		return nil, ""
	}
	over = units.Counted(run.Turns.String(), "turn")
	if run.Distance > 0 {
		over = run.Distance.Format(k.units())
	}
	if run.Width > 0 {
		over += ", " + run.Width.Format(k.units()) + " wide"
	} else {
		over += ", " + counted(int(run.Rows), "row")
	}
	return &answer.ToCatch{Grams: answer.Number(m.Grams()), Turns: answer.Number(run.Turns.Float()), Rows: run.Rows}, over
}

func (k *call) lastCatch(b farm.Box) *entry.Caught {
	for i := len(b.Events) - 1; i >= 0; i-- {
		if l, ok := k.farm.Line(b.Events[i]); ok {
			if c, is := l.Now.(*entry.Caught); is {
				return c
			}
		}
	}
	return nil
}

// wholeGrams is a mass to catch as finely as a kitchen scale shows it: to a gram,
// and to a tenth below ten.
func wholeGrams(m units.Mass) string {
	step := units.Mass(1000)
	if m < 10*step {
		step /= 10
	}
	return ((m + step/2) / step * step).FormatGrams()
}

func (k *call) catchAdvice(b farm.Box) string {
	c, over := k.toCatch(b)
	if c == nil {
		return ""
	}
	m, err := units.MassFromGrams(float64(c.Grams))
	if err != nil {
		return ""
	}
	say := fmt.Sprintf("a catch at the aim weighs %s (%s)", wholeGrams(m), over)
	if times := rate.Ratio(b.Aim, b.CatchAim); b.CatchAim > 0 && math.Abs(times-1) >= 0.005 {
		more := "more"
		if times < 1 {
			more = "less"
		}
		say += fmt.Sprintf(", since %.0f %% %s went out in the field than a catch or the chart says", 100*math.Abs(times-1), more)
	}
	return say
}

// fillDue is when a box wants seed next, and the time of day; nil where nothing
// says how long the seed lasts.
func (k *call) fillDue(b farm.Box) (due *answer.FillDue, clock string) {
	d, ok := k.view().DrillOf(b.Drill)
	if !ok || b.AcresLeft == nil || b.Left == 0 {
		return nil, ""
	}
	at, ok := d.ReadingAfter(b.AcresLeft.P10)
	if !ok {
		return nil, ""
	}
	due = &answer.FillDue{Reading: answer.Number((at / 100 * 100).Float())}
	read, ok := k.farm.Line(d.Reading.Entry)
	if m := b.MinutesLeft; m != nil && ok {
		t := time.UnixMilli(read.Clock).In(k.zone()).Add(time.Duration(m.P10 * float64(time.Minute))).Truncate(5 * time.Minute)
		due.Clock, clock = t.Format(time.RFC3339), t.Format("15:04")
	}
	return due, clock
}

func (k *call) fillAdvice(b farm.Box) string {
	due, clock := k.fillDue(b)
	if due == nil {
		return ""
	}
	say := fmt.Sprintf("fill it by %v on the counter", float64(due.Reading))
	if clock != "" {
		say += ", about " + clock + " if the work goes on as it went"
	}
	return say
}
