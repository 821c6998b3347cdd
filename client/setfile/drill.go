package setfile

import (
	"fmt"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// drill is the file's drill.
type drill struct {
	at        node
	name, was string
	set       entry.DrillSet
}

// keys are the keys of a drill.
func (d *drill) keys() []key {
	s := &d.set
	return []key{
		{"name", text(&d.name)},
		{"was", text(&d.was)},
		{"rows", optional(&s.Rows, whole)},
		{"spacing", quantity(&s.Spacing, units.ParseLength)},
		{"width", quantity(&s.Width, units.ParseLength)},
		{"wheel_roll", quantity(&s.Roll, units.ParseLength)},
		{"wheel_turns_per_acre", quantity(&s.WheelTurns, units.ParseTurns)},
		{"turns_per_acre", func(n node) error {
			return n.refuse("turns_per_acre may be of two things: write wheel_turns_per_acre for the wheel that drives the meters," +
				" or counter_turns_per_acre for the shaft that the counter counts")
		}},
		{"counter_turns_per_acre", quantity(&s.CounterTurns, units.ParseTurns)},
		{"counter", counterKind(&s.Counter)},
	}
}

func readDrill(n node) (*drill, error) {
	d := &drill{at: n}
	err := n.keys("the drill", d.keys()...)
	if err == nil && d.name == "" {
		err = n.refuse("the drill needs a name, such as {name: borrowed drill}")
	}
	if err == nil && d.set.CounterTurns.Set {
		if d.set.Counter == entry.CountsAcres || d.set.Counter == entry.CountsHectares {
			return d, n.refuse("counter_turns_per_acre goes with counter: turns alone: leave one of the two out")
		}
		d.set.Counter = entry.CountsTurns
	}
	return d, err
}

func counterKind(dst *entry.CounterKind) func(node) error {
	return func(n node) error {
		w, err := n.word()
		if err != nil {
			return err
		}
		switch w {
		case "acres":
			*dst = entry.CountsAcres
		case "hectares":
			*dst = entry.CountsHectares
		case "turns":
			*dst = entry.CountsTurns
		default:
			return n.refuse("unknown counter %q; the counters are acres, hectares, turns", w)
		}
		return nil
	}
}

func (w *writer) setDrill(f *File, on entry.ID) error {
	if f.drill == nil {
		return w.useDrill(f, on)
	}
	d := f.drill
	id, err := w.match(d.at, "drill", d.name, d.was, drillThings(w.view))
	if err != nil {
		return err
	}
	now, _ := w.view.DrillOf(id)
	s := d.set
	s.Drill, s.Name = id, entry.Some(d.name)
	isNew := id.IsZero()
	if err := d.checkWheel(now); err != nil {
		return err
	}
	if s.Counter == now.Counter && !isNew {
		s.Counter = entry.NoCounter
	}
	changes := some(changed(isNew, &s.Name, now.Name), changed(isNew, &s.Rows, now.Rows),
		changed(isNew, &s.Spacing, now.Spacing), changed(isNew, &s.Width, now.Width), changed(isNew, &s.Roll, now.Roll),
		changed(isNew, &s.WheelTurns, now.WheelTurns), changed(isNew, &s.CounterTurns, now.CounterTurns), s.Counter != entry.NoCounter)
	w.drill, err = w.put(d.at, id, changes, &s)
	return err
}

// useDrill finds the drill that a file without one is about.
func (w *writer) useDrill(f *File, on entry.ID) error {
	w.drill = on
	if !on.IsZero() || len(f.boxes)+len(f.chart)+len(f.plans) == 0 {
		return nil
	}
	switch drills := w.view.Drills; len(drills) {
	case 1:
		w.drill = drills[0].ID
		return nil
	case 0:
		if len(f.boxes) == 0 {
			return nil // an unknown box says so better
		}
		return f.boxes[0].at.refuse("a box belongs to a drill: name it under the key drill")
	}
	return f.at.wrap(fmt.Errorf("%w (%s): name one under the key drill",
		ErrWhichDrill, strings.Join(names(drillThings(w.view)), ", ")))
}

func drillThings(v *farm.View) []thing {
	return things(v.Drills, func(d *farm.Drill) thing { return thing{d.ID, d.Name} })
}
