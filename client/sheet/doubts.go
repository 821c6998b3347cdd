package sheet

import (
	"slices"

	"turnrow/client/words"
	"turnrow/sync/entry"
)

// doubts is what only a person can settle: all that are open, and those about
// the span's entries that were settled.
func (s *Sheet) doubts() *Table {
	t := &Table{Name: "doubts", Title: "Doubts, open and settled", columns: []column{
		wide("doubt", "Doubt", 1), wide("state", "State", 0.7), wide("about", "About", 1.2), wide("what", "What was written", 2.4),
		wide("look", "Look at", 1.6), wide("settled_by", "Settled by", 0.9), wide("why", "How, and why", 1.6), quiet("kind", prose)}}
	for d := range words.Doubts(s.view) {
		if d.Settled && !slices.ContainsFunc(append(slices.Clone(d.Entries), d.By), s.within) {
			continue
		}
		row := []value{words.Kind(d.Kind), "open", d.About, unlikely(d), d.Look, nil, nil, string(d.Kind)}
		if d.Settled {
			row[1], row[4], row[5], row[6] = "settled", nil, s.who(d.By), s.settled(&d)
		}
		t.add(row...)
	}
	return t
}

// unlikely is what was written, and why it is unlikely, if it is.
func unlikely(d words.Doubt) string {
	if d.Why == "" {
		return d.What
	}
	return d.What + " (" + d.Why + ")"
}

// settled is how a doubt was settled, in the settlement's own words.
func (s *Sheet) settled(d *words.Doubt) string {
	l, ok := s.line(d.By)
	if !ok {
		return ""
	}
	return l.What
}

// corrections is what was amended or struck, and what is kept but left out.
func (s *Sheet) corrections() *Table {
	t := &Table{Name: "corrections", Title: "Corrections, and what is left out", Note: "Nothing is ever removed from the record: this is how each stood before.",
		columns: []column{col("time", "Time", clock), wide("person", "Who", 1), wide("what", "What was written", 2.6), wide("now", "Now", 2.2), quiet("entry", prose)}}
	for i := range s.lines {
		l := &s.lines[i]
		now := ""
		switch {
		case l.LeftOut != "":
			now = "left out: " + l.LeftOut
		case l.Struck:
			now = "struck" + s.by(l.ID)
		case l.Amended:
			now = "amended" + s.by(l.ID)
		default:
			continue
		}
		t.add(s.moment(l), l.By, l.What, now, l.ID.String())
	}
	return t
}

// corrected remembers what the entry at a place of the record corrects.
func (s *Sheet) corrected(at int) {
	switch b := s.all[at].Now.(type) {
	case *entry.Amended:
		s.fixes[b.Entry] = at
	case *entry.Struck:
		s.fixes[b.Entry] = at
	case *entry.Settled:
		for _, id := range b.Entries {
			if b.Choice == "" && !slices.Contains(b.Stands, id) {
				s.fixes[id] = at
			}
		}
	}
}

// by says who corrected an entry last, and why.
func (s *Sheet) by(id entry.ID) string {
	at, ok := s.fixes[id]
	if !ok {
		return ""
	}
	l, why := &s.all[at], ""
	switch b := l.Now.(type) {
	case *entry.Amended:
		why = b.Why
	case *entry.Struck:
		why = b.Why
	case *entry.Settled:
		why = b.Why
	}
	if why != "" {
		why = ": " + why
	}
	return " by " + l.By + why
}

// notes is the crew's own words.
func (s *Sheet) notes() *Table {
	t := &Table{Name: "notes", Title: "Notes", columns: []column{
		col("time", "Time", clock), wide("person", "Who", 1), wide("note", "Note", 4), wide("about", "About", 1.2)}}
	standing(s, func(l *words.Line, b *entry.Noted) {
		t.add(s.moment(l), l.By, noted(l, b.Text), s.view.NameOf(b.About))
	})
	return t
}
