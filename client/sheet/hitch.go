package sheet

import (
	"strings"
	"time"

	"turnrow/client/words"
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
		case *entry.HitchBegun, *entry.ItemSigned, *entry.HoldRaised, *entry.HoldReleased, *entry.HoldSeen, *entry.Unhitched, *entry.DrillMoved:
			t.add(s.moment(l), l.What, l.By, s.on(l), s.counts(l))
		}
	}
	return t
}

// on is the device of an entry, and whose it is where it is not its writer's.
func (s *Sheet) on(l *words.Line) string {
	if l.On == (farm.On{}) {
		return l.Device
	}
	return l.Device + " (" + s.view.NameOf(l.On.Whose) + "'s)"
}

// counts says whether an entry counts, and why not.
func (s *Sheet) counts(l *words.Line) string {
	switch {
	case l.LeftOut != "":
		return "no: " + l.LeftOut
	case l.Struck:
		return "no: struck"
	}
	switch {
	case l.Void != "":
		return "no: " + l.Void
	case l.Ended != 0:
		return "until the hitch ended, " + s.until(l)
	}
	if _, ok := l.Body.(*entry.HoldRaised); ok && s.open(l) {
		return "yes: still open"
	}
	return "yes"
}

// until is when the hitch of a signature ended, with the day where that is
// another one.
func (s *Sheet) until(l *words.Line) string {
	at := time.UnixMilli(l.Ended).In(s.Zone)
	if DayOf(at) == s.day(l) {
		return at.Format("15:04")
	}
	return s.dayAndHour(l.Ended)
}

func (s *Sheet) dayAndHour(wall int64) string {
	return time.UnixMilli(wall).In(s.Zone).Format("2006-01-02 15:04")
}

func (s *Sheet) open(l *words.Line) bool {
	for _, d := range s.view.Drills {
		for _, h := range d.Hitch.Holds {
			if h.Entry == l.ID {
				return true
			}
		}
	}
	return false
}

// knows says how far what the sheet calls ready goes.
func (s *Sheet) knows() string {
	if s.Knows == "" {
		return "as far as this device knows"
	}
	return s.Knows
}

// standingHitch is how each drill's hitch stands now, in words.
func (s *Sheet) standingHitch() []string {
	var out []string
	for _, d := range s.view.Drills {
		text := d.Name + ": not ready as the record stands now"
		if d.Hitch.Ready {
			text = d.Name + ": every required check is signed and no hold is open, " + s.knows()
		}
		if len(d.Hitch.Missing) > 0 {
			text += "; missing: " + strings.Join(words.Of(s.view).Missing(d.Hitch.Missing), ", ")
		}
		for _, h := range d.Hitch.Holds {
			text += "; HOLD by " + s.view.NameOf(h.By) + words.On(s.view, h.On) + ": " + h.Why
			if seen := words.Seen(s.view, &h, s.dayAndHour); seen != "" {
				text += " (" + seen + ")"
			}
		}
		out = append(out, text+".")
	}
	return out
}
