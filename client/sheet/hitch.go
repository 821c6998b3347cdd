package sheet

import (
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// hitching is what was signed, held and released within the span. Entries that
// are left out of the state are shown as such, so that none looks given.
func (s *Sheet) hitching() *Table {
	t := &Table{Name: "hitch", Title: "Hitch: signatures and holds",
		Note:    "A signature says that a named person saw to it then. It does not make a machine safe.",
		columns: []column{col("time", "Time", clock), wide("what", "What", 2.4), wide("person", "Who", 1), wide("device", "On", 1), wide("counts", "Counts", 1.3)}}
	for i := range s.lines {
		l := &s.lines[i]
		switch l.Body.(type) {
		case *entry.HitchBegun, *entry.ItemSigned, *entry.HoldRaised, *entry.HoldReleased, *entry.Unhitched, *entry.DrillMoved:
			t.add(s.moment(l), l.What, l.By, l.Device, s.counts(l))
		}
	}
	return t
}

// counts says whether an entry counts, and why not.
func (s *Sheet) counts(l *farm.Line) string {
	switch {
	case l.LeftOut != "":
		return "no: " + l.LeftOut
	case l.Struck:
		return "no: struck"
	}
	if b, ok := l.Body.(*entry.ItemSigned); ok && !s.signedFor(b, l) {
		return "not for the hitch that stands now"
	}
	if _, ok := l.Body.(*entry.HoldRaised); ok && s.open(l) {
		return "yes: still open"
	}
	return "yes"
}

// signedFor says whether a signature counts for the hitch that stands now.
func (s *Sheet) signedFor(b *entry.ItemSigned, l *farm.Line) bool {
	for _, d := range s.view.Drills {
		for _, sig := range d.Hitch.Signed {
			if d.Hitch.Begun == b.Hitch && sig.Entry == l.ID {
				return true
			}
		}
	}
	return false
}

func (s *Sheet) open(l *farm.Line) bool {
	for _, d := range s.view.Drills {
		for _, h := range d.Hitch.Holds {
			if h.Entry == l.ID {
				return true
			}
		}
	}
	return false
}

// standingHitch is how each drill's hitch stands now, in words.
func (s *Sheet) standingHitch() []string {
	var out []string
	for _, d := range s.view.Drills {
		text := d.Name + ": not ready as the record stands now"
		if d.Hitch.Ready {
			text = d.Name + ": every required check is signed and no hold is open, as the record stands now"
		}
		if len(d.Hitch.Missing) > 0 {
			text += "; missing: " + strings.Join(d.Hitch.Missing, ", ")
		}
		for _, h := range d.Hitch.Holds {
			text += "; HOLD by " + s.view.NameOf(h.By) + ": " + h.Why
		}
		out = append(out, text+".")
	}
	return out
}
