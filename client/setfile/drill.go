package setfile

import (
	"turnrow/client/nearest"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// drill is the file's drill.
type drill struct {
	at        node
	name, was string
	set       entry.DrillSet
	turns     entry.Opt[units.Turns] // turns_per_acre, whatever they are of
}

func readDrill(n node) (*drill, error) {
	d := &drill{at: n}
	s := &d.set
	err := n.keys("the drill",
		key{"name", text(&d.name)},
		key{"was", text(&d.was)},
		key{"rows", optional(&s.Rows, whole)},
		key{"spacing", quantity(&s.Spacing, units.ParseLength)},
		key{"width", quantity(&s.Width, units.ParseLength)},
		key{"wheel_roll", quantity(&s.Roll, units.ParseLength)},
		key{"wheel_turns_per_acre", quantity(&s.WheelTurns, units.ParseTurns)},
		key{"turns_per_acre", quantity(&d.turns, units.ParseTurns)},
		key{"counter_turns_per_acre", quantity(&s.CounterTurns, units.ParseTurns)},
		key{"counter", counterKind(&s.Counter)})
	if err == nil && d.name == "" {
		err = n.refuse("the drill needs a name")
	}
	if err == nil {
		err = d.placeTurns()
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
		case "turns":
			*dst = entry.CountsTurns
		default:
			return n.refuse("unknown counter %q; a counter shows acres or turns", w)
		}
		return nil
	}
}

// placeTurns decides what turns_per_acre is of. On its own it is of the shaft
// that the counter counts, so the counter shows turns; beside an acre counter,
// or beside the counted shaft's own figure, it is of the wheel.
func (d *drill) placeTurns() error {
	s := &d.set
	if s.CounterTurns.Set {
		if s.Counter == entry.CountsAcres {
			return d.at.refuse("counter_turns_per_acre does not go with counter: acres")
		}
		s.Counter = entry.CountsTurns
	}
	switch {
	case !d.turns.Set:
	case s.Counter == entry.CountsAcres || s.CounterTurns.Set:
		if s.WheelTurns.Set {
			return d.at.refuse("turns_per_acre and wheel_turns_per_acre are the same figure here: leave one out")
		}
		s.WheelTurns = d.turns
	default:
		s.Counter, s.CounterTurns = entry.CountsTurns, d.turns
	}
	return nil
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
	if d.turnsAreOfWheelToo(now) {
		s.WheelTurns = d.turns
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

// turnsAreOfWheelToo says whether turns_per_acre alone must do for the wheel
// as well: where nobody has said how far the wheel rolls, it is what is known.
func (d *drill) turnsAreOfWheelToo(now farm.Drill) bool {
	return d.turns.Set && !d.set.WheelTurns.Set && !d.set.Roll.Set && now.Roll == 0 && now.WheelTurns == 0
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
	return f.at.refuse("there are several drills (%s): name one under the key drill, or with --drill",
		nearest.Hint("", "drills", names(drillThings(w.view))))
}

func drillThings(v *farm.View) []thing {
	return things(v.Drills, func(d *farm.Drill) thing { return thing{d.ID, d.Name} })
}
