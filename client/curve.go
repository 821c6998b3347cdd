package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Track follows the seed in a box along the drill's counter; none where there
// is no such box.
func (f *Farm) Track(box entry.ID) (track []farm.Moment) {
	f.read(func(s *farm.State) { track = s.Track(box) })
	return track
}

// Curve fits what a box gives of a lot at each dial. It gives the rate
// engine's errors, such as rate.ErrNothingKnown.
func (f *Farm) Curve(box, lot entry.ID) (curve farm.Curve, err error) {
	f.read(func(s *farm.State) { curve, err = s.Curve(box, lot) })
	return curve, err
}
