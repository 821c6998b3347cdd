package view

import (
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// HeldAgainst is the acres that a counter made of a piece of ground, held
// against the piece's own area. Nothing follows by itself: a person decides.
type HeldAgainst struct {
	Area   units.Area // of the piece; 0 where it is not known
	Mapped bool       // Area is its boundary's, and not what somebody stated
	Done   units.Area // by the counter; 0 where that is not known
	// Check is what the two say of the counter; nil where either is not known.
	Check *rate.CounterCheck
	// Correct is what the counter would be taken for from here on, on top of
	// the correction that holds, in thousandths; 0 where nothing is offered.
	Correct int64
}

// HeldAgainst holds a drill's counter against a piece of ground that is, or is
// about to be, finished.
func (g *Ground) HeldAgainst(d *work.Drill) HeldAgainst {
	h := HeldAgainst{}
	h.Area, h.Mapped = g.Size()
	if !g.Open {
		h.Done = g.Done
	}
	c, err := rate.CheckCounter(h.Area, h.Done, h.Mapped)
	if err != nil {
		return h
	}
	h.Check = &c
	if c.Correction == 0 || c.Verdict == rate.CounterAgrees || c.Verdict == rate.CounterUnclear {
		return h
	}
	was := d.Correction
	if was == 0 {
		was = 1000
	}
	h.Correct = (was*c.Correction + 500) / 1000
	return h
}

// Over is how far the counter's acres are over the piece's own, as a share: 0.1
// is 10 % over, -0.1 under. Both must be known.
func (h HeldAgainst) Over() float64 { return rate.Ratio(h.Done, h.Area) - 1 }
