package client

import (
	"math"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Spot is a spot of ground that somebody should know of: on a piece of ground,
// at a place, or both.
type Spot struct{ entry.Pinned }

func (s Spot) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := s.Pinned
	if !b.Ground.IsZero() {
		r.ground(v, b.Ground)
	}
	r.because(b.Ground.IsZero() && !b.Latitude.Set, "ground", Missing, "")
	r.because(b.What == entry.PinnedNothing, "what", Missing, "")
	r.because(b.What == entry.PinnedOther && b.Text == "", "text", Missing, "")
	r.because(b.Row > mostRows(v), "row", NoSuchRow, "")
	r.because(b.Accuracy > 0 && !b.Latitude.Set, "at", Missing, "")
	return r.or(&b)
}

// mostRows is how many rows the widest drill has; where that is not known of one,
// any number may be.
func mostRows(v *farm.View) (most int64) {
	for i := range v.Drills {
		if v.Drills[i].Rows == 0 {
			return math.MaxInt64
		}
		most = max(most, v.Drills[i].Rows)
	}
	if most == 0 {
		return math.MaxInt64
	}
	return most
}

// SpotGone is that a spot which was noted is no longer there.
type SpotGone struct {
	Spot entry.ID
	Text string
}

func (s SpotGone) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	noted, ok := look().SpotOf(s.Spot)
	r.entry(!ok, "spot", NotHere, "", s.Spot)
	r.entry(ok && !noted.Gone.IsZero(), "spot", NothingNew, "it is gone", s.Spot)
	return r.or(&entry.Pinned{Of: s.Spot, Gone: true, Text: s.Text})
}

// Want is seed that is to be brought to a box, to a gate, or to a box at a gate.
type Want struct{ entry.Errand }

func (w Want) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := w.Errand
	b.State = entry.ErrandWanted
	r.lot(v, b.Lot)
	r.because(b.Bags == 0 && b.Mass == 0, "bags", NoAmount, "")
	r.because(b.Bags > 0 && b.Mass > 0, "mass", TwoAmounts, "")
	r.because(b.Box.IsZero() && b.Gate == "", "box", Missing, "")
	if !b.Box.IsZero() {
		r.box(v, b.Box, b.Side)
	}
	return r.or(&b)
}

// Bring is how far seed has come that somebody wants.
type Bring struct {
	Errand entry.ID
	State  entry.ErrandState
	Note   string
}

func (b Bring) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	wanted, ok := look().ErrandOf(b.Errand)
	r.entry(!ok, "errand", NotHere, "", b.Errand)
	r.because(b.State == entry.ErrandNotSaid, "state", Missing, "")
	r.entry(ok && wanted.State == b.State, "state", NothingNew, b.State.String(), b.Errand)
	return r.or(&entry.Errand{Of: b.Errand, State: b.State, Note: b.Note})
}

// Tell is a body in words, as a line of the log tells it.
func (f *Farm) Tell(b entry.Body) (what string) {
	f.read(func(s *farm.State) { what = words.Of(s).Text(s.What(b)) })
	return what
}
