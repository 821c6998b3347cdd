package main

import (
	"fmt"
	"math"

	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

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
	c, over := k.report().ToCatch(b)
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

func (k *call) fillAdvice(b farm.Box) string {
	due, clock := k.report().FillDue(b)
	if due == nil {
		return ""
	}
	say := fmt.Sprintf("fill it by %v on the counter", float64(due.Reading))
	if clock != "" {
		say += ", about " + clock + " if the work goes on as it went"
	}
	return say
}
