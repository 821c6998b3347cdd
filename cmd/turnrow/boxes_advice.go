package main

import (
	"fmt"
	"math"
	"strings"

	"turnrow/client/report"
	"turnrow/client/rough"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// adviceLines put the same in words, for those boxes of which there is
// something to say.
func (k *call) adviceLines(boxes []farm.Box, rests sheet.Rests) []string {
	var lines []string
	for _, b := range boxes {
		for _, say := range []string{k.sideAdvice(b), mixAdvice(b), chartAdvice(b), k.fieldAdvice(b), k.dialAdvice(b), k.catchAdvice(b), k.dryAdvice(b), k.fillAdvice(b), k.pourAdvice(b, rests.Box(&b)), k.leftoverAdvice(b), k.driftAdvice(b), k.movedAdvice(b)} {
			if say != "" {
				lines = append(lines, b.Name+": "+say)
			}
		}
	}
	return lines
}

// fieldAdvice says what the rate may be in the field as long as no run was
// weighed, and what to do about it.
func (k *call) fieldAdvice(b farm.Box) string {
	if b.Field == nil || b.Weighed || b.Left == 0 {
		return ""
	}
	after := "2 ac"
	if k.units() == units.Metric {
		after = "1 ha"
	}
	return fmt.Sprintf("in the field %s: no run weighed yet; weigh what is left after %s", spanText(*b.Field, k.units()), after)
}

// chartAdvice says where the catches lie off the chart by more than both are in
// doubt by.
func chartAdvice(b farm.Box) string {
	if b.OffChart == 0 {
		return ""
	}
	return offChart(b.OffChart)
}

// dialAdvice says what to do about the dial, unless it is to go on as it is.
func (k *call) dialAdvice(b farm.Box) string {
	f := b.ForAim
	if f == nil {
		return ""
	}
	if len(b.AimMarks) > 0 {
		return k.markAdvice(b)
	}
	where := fmt.Sprintf("about dial %s would give the aim, nine times in ten from %s to %s", tenths(f.Dial), tenths(f.Low), tenths(f.High))
	switch {
	case !f.Reached:
		return fmt.Sprintf("the dial does not reach the aim of %s: at %s it gives %s", b.Aim.Format(k.units()), tenths(f.Dial), f.Rate.Rate.Format(k.units()))
	case f.Next != rate.Go:
		return fmt.Sprintf("%s (%s); %s", f.Next, f.Why, where)
	case offAimDial(b):
		return "the dial is off the aim: " + where
	}
	return ""
}

// mixAdvice says which species a box gives together, and that no chart tells the
// dial for them.
func mixAdvice(b farm.Box) string {
	if len(b.Mixed) == 0 {
		return ""
	}
	last := len(b.Mixed) - 1
	say := "mixed: " + strings.ToLower(strings.Join(b.Mixed[:last], ", ")+" and "+b.Mixed[last]) +
		": no chart is of the mix, so the dial for the aim is not known; catch what comes, and weigh"
	if b.Rate != nil {
		say += " (the rate shown is put together from each seed's own)"
	}
	return say
}

// markAdvice says which marks lie around the aim and what each gives: nothing
// can be set between them.
func (k *call) markAdvice(b farm.Box) string {
	var at []string
	for _, m := range b.AimMarks {
		at = append(at, fmt.Sprintf("%s gives %s", words.Mark(b, 0, m.Dial), rateText(m.Rate, k.units())))
	}
	say := "around the aim, mark " + strings.Join(at, " and mark ")
	switch f := b.ForAim; {
	case f.Next != rate.Go:
		return fmt.Sprintf("%s (%s); %s", f.Next, f.Why, say)
	case b.DialSet && b.Dial != f.Dial:
		return "the dial is off the aim: " + say
	}
	return ""
}

// offAimDial says whether some dial of a box is off the aim.
func offAimDial(b farm.Box) bool {
	for _, n := range b.SidesNow {
		if n.DialSet && (n.Dial < b.ForAim.Low || n.Dial > b.ForAim.High) {
			return true
		}
	}
	return false
}

// tenths is a dial to a tenth of a mark, which is as well as anybody sets one.
func tenths(d units.Dial) string { return ((d + 50) / 100 * 100).String() }

func (k *call) dryAdvice(b farm.Box) string {
	m := b.MinutesLeft
	if m == nil || b.Left == 0 {
		return ""
	}
	const step = 5 // minutes, the ends outwards
	say := fmt.Sprintf("runs dry in about %.0f min of work (%.0f to %.0f)", m.P50, math.Floor(m.P10/step)*step, math.Ceil(m.P90/step)*step)
	if side := report.SideName(b, b.DryFirst); side != "" {
		say += ", " + side + " first"
	}
	return say
}

func (k *call) leftoverAdvice(b farm.Box) string {
	var says []string
	for _, l := range b.Leftover {
		says = append(says, fmt.Sprintf("%s of %s is in it that no plan puts there: it would go out at %s",
			rough.Poured(l.Mass, k.units()), k.view().NameOf(l.Lot), l.Rate.Rate.Format(k.units())))
	}
	return strings.Join(says, "; ")
}

// driftAdvice says where what was weighed departs from what chart and catches
// say, if that is likely no chance.
func (k *call) driftAdvice(b farm.Box) string {
	d := b.Drift
	if d == nil || !d.Likely() {
		return ""
	}
	way := "over"
	if d.Change < 0 {
		way = "under"
	}
	return fmt.Sprintf("%s went out, %.0f %% %s what the catch or chart says%s", b.LastOut.Rate.Format(k.units()), 100*math.Abs(d.Change), way, howSure(d))
}

// howSure is what stands behind a drift that may yet be chance.
func howSure(d *rate.Drift) string {
	if d.Sure() {
		return ""
	}
	return " (likely, not yet sure)"
}

// movedAdvice says where the last run departs from those before it at one dial,
// if that is likely no chance.
func (k *call) movedAdvice(b farm.Box) string {
	d := b.Moved
	if d == nil || !d.Likely() {
		return ""
	}
	way := "more"
	if d.Change < 0 {
		way = "less"
	}
	return fmt.Sprintf("the last run gave %.0f %% %s than those before it at this dial%s: look for what has changed",
		100*math.Abs(d.Change), way, howSure(d))
}
