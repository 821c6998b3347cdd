package sheet

import (
	"fmt"
	"io"
	"slices"

	ics "github.com/arran4/golang-ical"

	"turnrow/sync/entry"
)

// event is a day, or some days, to go and look.
type event struct {
	id, title, text string
	from, to        Day // both included
}

// Calendar writes the days to look for plants and to count stands, of what was
// sown within the span, as a calendar (RFC 5545). Events last whole days and
// keep their names when the calendar is made again, so that a phone which
// takes it in twice shows each once. It says how many events there are.
func (s *Sheet) Calendar(w io.Writer) (int, error) {
	cal := ics.NewCalendar()
	cal.SetProductId("-//turnrow//turnrow//EN")
	cal.SetName(s.view.Name + ": look at the seeding")
	cal.SetXWRCalName(s.view.Name + ": look at the seeding")
	events := s.events()
	for _, e := range events {
		v := cal.AddEvent(e.id)
		v.SetDtStampTime(s.Made.UTC())
		v.SetAllDayStartAt(e.from.time())
		v.SetAllDayEndAt((e.to + 1).time()) // RFC 5545: the end is the day after
		v.SetSummary(e.title)
		v.SetDescription(e.text)
		v.SetTimeTransparency(ics.TransparencyTransparent)
	}
	return len(events), cal.SerializeTo(w, ics.WithNewLineWindows)
}

// events are the days to look for each species, then the day to count each
// piece's stand: the last of its species' days.
func (s *Sheet) events() []event {
	var list []event
	looks := s.Looks()
	for _, l := range looks {
		list = append(list, event{
			id: s.eventID("come-up", l.Ground, l.Species), title: "Look for " + l.Species + " on " + l.Name, from: l.First, to: l.Last,
			text: fmt.Sprintf("Sown %s. Before %s it is too soon to look; by %s all should show where nothing holds them back; from %s on what is missing is late. "+
				"In a field it is rarely sooner, and in cold or dry soil later. Source: %s.", l.Sown.Long(), l.First, l.Last, l.Count, l.Source)})
	}
	var done []entry.ID
	for _, l := range looks {
		if slices.Contains(done, l.Ground) {
			continue
		}
		done = append(done, l.Ground)
		list = append(list, s.countDay(l, looks))
	}
	return list
}

func (s *Sheet) countDay(l Look, looks []Look) event {
	on, what := l.Count, ""
	for _, o := range looks {
		if o.Ground == l.Ground {
			on = max(on, o.Count)
			what += "\n" + o.Species + ": late from " + o.Count.String() + " on."
		}
	}
	return event{id: s.eventID("count", l.Ground, ""), title: "Count the stand on " + l.Name, from: on, to: on,
		text: "Count plants in frames thrown without looking (turnrow stand). Earlier a thin stand may just be late." + what}
}

// eventID is the same for the same piece and species
// whenever and wherever the calendar is made.
func (s *Sheet) eventID(what string, ground entry.ID, species string) string {
	if species != "" {
		what += "-" + fileName(species)
	}
	return fmt.Sprintf("%s-%s-%d@%s", what, ground.Log, ground.Seq, s.view.Farm)
}
