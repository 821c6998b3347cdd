package client

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
)

// measureKnown is nil where something tells what a measure of a lot weighs: one
// was weighed, or a bushel weight of its species is published. Else it is why
// that is not known, as the rate engine's error.
func (f *Farm) measureKnown(l farm.Lot) error {
	weighed := slices.ContainsFunc(l.Events, func(id entry.ID) bool {
		line, ok := f.Line(id)
		_, is := line.Now.(*entry.VolumeWeighed)
		return ok && is
	})
	if weighed {
		return nil
	}
	sp, err := rate.FindSpecies(l.Species)
	if err == nil {
		_, err = sp.BushelWeight("")
	}
	return err
}
