package main

import (
	"fmt"
	"strings"

	"turnrow/client/report"
	"turnrow/client/rough"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// pourAdvice says what to pour to finish the piece that is worked: what is
// likely needed, and what is at most, in all and on each side.
func (k *call) pourAdvice(b farm.Box, on []words.Doubt) string {
	f := b.Finish
	if f == nil || report.Total(f.Sure) == 0 {
		return ""
	}
	s := k.units()
	say := fmt.Sprintf("to finish %s, pour %s", k.view().NameOf(b.Working), pourText(report.Total(f.Likely), report.Total(f.Sure), s, on))
	if f.Bags > 0 {
		say += fmt.Sprintf(" (%s)", counted(int(f.Bags), "bag"))
	}
	if len(f.Sure) > 1 {
		var sides []string
		for i := range f.Sure {
			sides = append(sides, report.SideName(b, int64(i+1))+" "+pourText(f.Likely[i], f.Sure[i], s, on))
		}
		say += ": " + strings.Join(sides, "; ")
	}
	if f.Later > 0 {
		say += fmt.Sprintf("; there is room for %s now, the rest later", marked(rough.Poured(report.Total(f.Now), s), on))
	}
	return say
}

// pourText is what to pour: likely, and at most, marked where that rests on
// open doubts.
func pourText(likely, most units.Mass, s units.System, on []words.Doubt) string {
	return marked("likely "+about(likely, s)+", at most "+about(most, s), on)
}

func about(m units.Mass, s units.System) string {
	if m == 0 {
		return "nothing more"
	}
	return m.About(s)
}
