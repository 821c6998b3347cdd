// Package sheet makes the papers that leave a farm: what a day, a season or a
// seed lot comes to, for a family, a lender or an auditor to read.
//
// A [Sheet] holds what the farm's record says of a span of days. It is worked
// out from the record alone: the same entries and options give the same sheet,
// byte for byte, on any device. A [Document] lays it out as tables,
// sentences and pictures, once, and is then written as HTML, PDF, CSV or JSON
// by [HTML], [PDF], [CSV] and [JSON]; so all four show the same figures.
//
// An entry belongs to the day that its device's own clock gave it, in the
// farm's time zone. What went out of a box over a stretch of ground belongs to
// the day of the counter's reading that ended the stretch.
package sheet

import (
	"time"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Options is what a sheet is made of besides the record.
type Options struct {
	Span   Span
	Zone   *time.Location // the farm's; nil is UTC
	System units.System
	Made   time.Time // when the sheet is made: it is printed
	Knows  string    // how far the device's record goes, as [Knows] puts it; "" where that is not said
}

// Sheet is what a farm's record says of a span of days.
type Sheet struct {
	Options
	view  *farm.View
	rests Rests        // which open doubts its figures rest on
	lines []words.Line // of the span, in the total order
	all   []words.Line
	at    map[entry.ID]int // an entry's place in all
	went  []went           // of the whole record, box by box in the counter's order
	sums  []sown           // what went out within the span
	fixes map[entry.ID]int // an entry that was corrected, and the place of what corrected it last
}

// Of works a sheet out from a farm's view and all of its lines.
func Of(v *farm.View, lines []words.Line, o Options) *Sheet {
	if o.Zone == nil {
		o.Zone = time.UTC
	}
	s := &Sheet{Options: o, view: v, rests: RestsOf(v), all: lines, at: make(map[entry.ID]int, len(lines)), fixes: map[entry.ID]int{}}
	for i := range lines {
		s.at[lines[i].ID] = i
		s.corrected(i)
		if o.Span.Holds(s.day(&lines[i])) {
			s.lines = append(s.lines, lines[i])
		}
	}
	s.followSeed()
	s.sums = s.sownWhere(func(w *went) bool { return s.within(w.reading) })
	return s
}

// Days is the span of days on which anything at all is written of a record.
func Days(lines []words.Line, zone *time.Location) (Span, bool) {
	var span Span
	for i := range lines {
		d := DayOf(time.UnixMilli(lines[i].Wall).In(zone))
		if i == 0 {
			span = Span{d, d}
		}
		span.From, span.To = min(span.From, d), max(span.To, d)
	}
	return span, len(lines) > 0
}

// Recorded is the days that a sheet can be of: those on which anything is
// written, and on until today.
func Recorded(lines []words.Line, now time.Time) Span {
	today := DayOf(now)
	if span, ok := Days(lines, now.Location()); ok {
		return Span{min(span.From, today), max(span.To, today)}
	}
	return Span{today, today}
}

// LatestDay is today, or the last day before on which anything was written. A
// clock that runs ahead is believed only where no other was right.
func LatestDay(lines []words.Line, now time.Time) Day {
	today, latest := DayOf(now), Day(0)
	for i := range lines {
		if d := DayOf(time.UnixMilli(lines[i].Wall).In(now.Location())); d <= today {
			latest = max(latest, d)
		}
	}
	if days, ok := Days(lines, now.Location()); ok && latest == 0 {
		return days.To
	}
	return latest
}

func (s *Sheet) time(l *words.Line) time.Time { return time.UnixMilli(l.Wall).In(s.Zone) }

func (s *Sheet) day(l *words.Line) Day { return DayOf(s.time(l)) }

func (s *Sheet) moment(l *words.Line) moment { return moment{s.time(l), s.Span.From != s.Span.To} }

// line finds an entry of the record.
func (s *Sheet) line(id entry.ID) (*words.Line, bool) {
	i, ok := s.at[id]
	if !ok {
		return nil, false
	}
	return &s.all[i], true
}

// dayOf is the day of an entry; ok is false where it is not here.
func (s *Sheet) dayOf(id entry.ID) (Day, bool) {
	l, ok := s.line(id)
	if !ok {
		return 0, false
	}
	return s.day(l), true
}

// within says whether an entry belongs to the span.
func (s *Sheet) within(id entry.ID) bool {
	d, ok := s.dayOf(id)
	return ok && s.Span.Holds(d)
}

// who is the person of an entry.
func (s *Sheet) who(id entry.ID) string {
	if l, ok := s.line(id); ok {
		return l.By
	}
	return ""
}

// standing goes over the span's entries that stand, with what each stands for
// now. Those that were struck, or are left out, are among the corrections.
func standing[B entry.Body](s *Sheet, do func(*words.Line, B)) {
	for i := range s.lines {
		if b, ok := s.lines[i].Now.(B); ok {
			do(&s.lines[i], b)
		}
	}
}

// noted is an entry's own note, and whether it was amended.
func noted(l *words.Line, note string) string {
	switch {
	case !l.Amended:
		return note
	case note == "":
		return "amended"
	}
	return note + " (amended)"
}

// side is the name of a box's compartment; "" where it has one.
func (s *Sheet) side(id entry.ID, n int64) string {
	b, ok := s.view.BoxOf(id)
	if !ok || len(b.Sides) == 0 {
		return ""
	}
	if n < 1 || n > int64(len(b.Sides)) {
		return "all"
	}
	return b.Sides[n-1]
}
