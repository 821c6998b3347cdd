package page

import (
	"turnrow/client/words"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// sideCard is one compartment of a box, by its own dial and content.
type sideCard struct {
	farm.SideNow
	Name string
	Mark string // its dial; "not known" where nobody wrote it
}

// Split is each side of a box whose sides have dials of their own; none of others.
func (c boxCard) Split() (sides []sideCard) {
	if len(c.SidesNow) < 2 || !c.OwnDials {
		return nil
	}
	for _, n := range c.SidesNow {
		sides = append(sides, sideCard{n, sideName(c.Box, n.Side), dialMark(c.Box, n)})
	}
	return sides
}

// Mark is where the dial of a box stands, where all its sides stand at one.
func (c boxCard) Mark() string {
	switch {
	case len(c.SidesNow) == 0:
		return texts.Text("box.dial.unknown")
	case !c.OneDial():
		return texts.Text("box.dial.differ")
	}
	return dialMark(c.Box, c.SidesNow[0])
}

func dialMark(b farm.Box, n farm.SideNow) string {
	if !n.DialSet {
		return texts.Text("box.dial.unknown")
	}
	return words.Mark(b, n.Side, n.Dial)
}

// SideText says what a side gives, holds and how far that goes.
func (q *request) SideText(s sideCard) string {
	gives, lasts := texts.Text("box.rate.unknown"), texts.Text("box.dry.unknown")
	if s.Rate != nil {
		gives = rangeOf(s.Rate, q.System)
	}
	if s.AcresLeft != nil {
		lasts = areas(s.AcresLeft.P10, s.AcresLeft.P90, q.System)
	}
	return texts.Text("box.side", s.Mark, gives, rowsText(s.Rows), roughMass(s.Left, q.System).Format(q.System), lasts)
}

func rowsText(n int) string {
	if n == 0 {
		return texts.Text("box.side.rows")
	}
	return texts.Count("box.side.rows", n)
}

func rangeOf(r *rate.RateEstimate, s units.System) string {
	return r.Rate.Format(s) + " (" + span(r.Low.Format(s), r.High.Format(s)) + ")"
}
