package main

import (
	"strings"

	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

func unlikelyText(u answer.Unlikely) string {
	text := "unlikely: " + u.What
	if len(u.Instead) > 0 {
		text += "; did you mean " + strings.Join(u.Instead, ", or ") + "?"
	}
	return text
}

func (r *reading) doubt(what string, instead ...string) {
	r.odd = append(r.odd, answer.Unlikely{What: what, Instead: append([]string{}, instead...)})
}

// oddLength doubts a drill's spacing, width or wheel_roll that no drill has.
func (r *reading) oddLength(field string, l units.Length) {
	if l <= 0 {
		return
	}
	if why, meant, odd := farm.UnlikelyLength(field, l); odd {
		var instead []string
		for _, m := range meant {
			instead = append(instead, m.Format(r.System))
		}
		r.doubt(words.English(r.System).Text(why), instead...)
	}
}

// anyRates are the least and the greatest rate that are published for any of the
// built-in species.
func anyRates() (low, high units.RatePerArea) {
	for _, s := range rate.AllSpecies() {
		if l, h, _, ok := farm.PublishedRates(s.Name); ok {
			if low == 0 || l < low {
				low = l
			}
			high = max(high, h)
		}
	}
	return low, high
}

// usualRates are the least and the greatest rate of the species that was named, or
// of any.
func (r *reading) usualRates() (low, high units.RatePerArea, of string) {
	if f := r.cmd.Flags().Lookup("species"); f != nil && f.Changed {
		if low, high, by, ok := farm.PublishedRates(f.Value.String()); ok {
			return low, high, f.Value.String() + " by " + by
		}
	}
	low, high = anyRates()
	return low, high, "all seed that is built in"
}

func rateSpan(low, high units.RatePerArea, s units.System) string {
	least, _, _ := strings.Cut(low.Format(s), " ")
	return least + " to " + high.Format(s)
}

// oddRate doubts a rate at which nothing is sown.
func (r *reading) oddRate(q units.RatePerArea) {
	low, high, of := r.usualRates()
	if !rate.FarFromUsual(q, low, high) {
		return
	}
	var meant []string
	for _, to := range []units.RatePerArea{q / 10, q * 10} {
		if to >= low && to <= high {
			meant = append(meant, to.Format(r.System))
		}
	}
	r.doubt(q.Format(r.System)+" is far from the "+rateSpan(low, high, r.System)+" of "+of, meant...)
}

// oddCatch doubts a catch that shows a rate at which nothing is sown.
func (r *reading) oddCatch(c rate.CatchRate) {
	low, high, of := r.usualRates()
	s, odd := rate.UnusualCatch(c.Rate, low, high)
	if !odd {
		return
	}
	var meant []string
	if s.Likely != "" {
		meant = append(meant, rate.Undone(c.Mass, s).FormatGrams()+" ("+s.Likely+")")
	}
	r.doubt(c.Mass.FormatGrams()+" is "+c.Rate.Format(r.System)+", far from the "+rateSpan(low, high, r.System)+" of "+of, meant...)
}

// Seed that germinates, with what is hard or dormant, to less than leastLive is
// hardly sold; fresh seed of chaffy native grasses comes near. Common practice, no
// source.
const leastLive units.Share = 30_000

// oddTag doubts a tag whose seed hardly anybody would sell.
func (r *reading) oddTag(t rate.Tag) {
	live := t.Germination + t.Hard
	if live <= 0 || live >= leastLive {
		return
	}
	var meant []string
	if to := t.Germination * 10; to+t.Hard <= units.Whole {
		meant = append(meant, to.String())
	}
	r.doubt("a germination of "+t.Germination.String()+" is hardly sold", meant...)
}

// oddSpeed doubts a speed at which no drill sows.
func (r *reading) oddSpeed(v units.Speed) {
	if v <= farm.FastestDrill {
		return
	}
	var meant []string
	if v/10 <= farm.FastestDrill {
		meant = append(meant, (v / 10).Format(r.System))
	}
	r.doubt(v.Format(r.System)+" is faster than any drill sows", meant...)
}
