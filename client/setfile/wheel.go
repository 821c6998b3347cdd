package setfile

import (
	"math"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A wheel that drives a drill's meters is 4 to 12 ft round: tyres of about 15
// to 46 in across (common practice, no source). What lies outside is a slip, or
// the turns of another shaft: 98 turns to the acre on a 7 ft drill would be a
// wheel 63 ft round.
const (
	leastRoll units.Length = 4 * 304_800
	mostRoll  units.Length = 12 * 304_800
)

// sameWheel is how far a roll and turns to the acre may lie apart and still be
// of one wheel. A roll is measured under load, turns are often a maker's for a
// wheel that does not skid; one measured skid is 4.53 % (Nirala, International
// Journal of Agricultural Engineering 4(2), 2011).
const sameWheel = 0.05

// checkWheel refuses a wheel that no drill has, and one whose roll and turns
// to the acre contradict each other. now is the drill as it stands.
func (d *drill) checkWheel(now farm.Drill) error {
	if !d.set.Roll.Set && !d.set.WheelTurns.Set {
		return nil
	}
	if roll := d.set.Roll; roll.Set && !isWheel(roll.Val) {
		return d.at.refuse("wheel_roll %s: the wheel that drives the meters is %s to %s round: measure its roll in the field",
			roll.Val.Format(units.US), leastRoll.Format(units.US), mostRoll.Format(units.US))
	}
	turns, width := d.set.WheelTurns, d.width(now)
	if !turns.Set && now.TurnsSet {
		turns = entry.Some(now.WheelTurns)
	}
	if !turns.Set || width == 0 {
		return nil
	}
	byTurns, err := rate.RollFromTurns(turns.Val, width)
	if err != nil {
		return d.at.wrap(err)
	}
	if !isWheel(byTurns) && d.set.WheelTurns.Set {
		return d.at.refuse("wheel_turns_per_acre %v: that wheel would be %s round (43,560 ft2 ÷ %s ÷ %v turns),"+
			" and the wheel that drives the meters is %s to %s. Turns of the shaft that the counter counts are counter_turns_per_acre",
			turns.Val, byTurns.Format(units.US), width.Format(units.US), turns.Val, leastRoll.Format(units.US), mostRoll.Format(units.US))
	}
	return d.sameWheel(now, turns.Val, byTurns, width)
}

func isWheel(roll units.Length) bool { return roll >= leastRoll && roll <= mostRoll }

// sameWheel holds the roll that is set against the one that the turns give.
func (d *drill) sameWheel(now farm.Drill, turns units.Turns, byTurns, width units.Length) error {
	roll := d.set.Roll
	if !roll.Set && now.RollSet {
		roll = entry.Some(now.Roll)
	}
	if !roll.Set || math.Abs(byTurns.Metres()/roll.Val.Metres()-1) <= sameWheel {
		return nil
	}
	return d.at.refuse("wheel_roll %s and wheel_turns_per_acre %v contradict each other: these turns are a wheel %s round"+
		" (43,560 ft2 ÷ %s ÷ %v turns). Measure the roll under load, and leave the other out or set both",
		roll.Val.Format(units.US), turns, byTurns.Format(units.US), width.Format(units.US), turns)
}

// width is the drill's working width as file and record together have it; 0
// where it is not known.
func (d *drill) width(now farm.Drill) units.Length {
	s := d.set
	if s.Width.Set {
		return s.Width.Val
	}
	if !s.Rows.Set && !s.Spacing.Set {
		return now.Width
	}
	rows, spacing := now.Rows, now.Spacing
	if s.Rows.Set {
		rows = s.Rows.Val
	}
	if s.Spacing.Set {
		spacing = s.Spacing.Val
	}
	w, err := rate.Width(int(rows), spacing)
	if err != nil {
		return 0
	}
	return w
}
