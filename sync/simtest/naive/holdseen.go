package naive

import (
	"slices"

	"turnrow/sync/entry"
)

// Sight is that somebody saw a hold, by an entry.
type Sight struct{ Who, Entry entry.ID }

// Seen is who has seen a hold: of everybody but who raised it the first entry that
// says so, in order. A log that forked says of nobody that they looked.
func (f *Fold) Seen(hold entry.ID) (out []Sight) {
	raised := f.byID[hold]
	counting(f, func(it *item, b *entry.HoldSeen) {
		if !slices.Contains(b.Holds, hold) || !it.knows(raised) || f.pastFork(it) {
			return
		}
		if it.who == raised.who {
			return
		}
		for _, s := range out {
			if s.Who == it.who {
				return
			}
		}
		out = append(out, Sight{it.who, it.ID})
	})
	return out
}
