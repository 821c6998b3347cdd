package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Drill is a drill and how its hitch stands.
type Drill struct {
	ID           entry.ID
	Name         string
	Rows         int64
	Spacing      units.Length
	Width        units.Length // as set, or rows × spacing; 0 where neither is known
	Roll         units.Length // as set, or from turns and width
	WheelTurns   units.Turns  // to the acre: as set, or from roll and width
	RollSet      bool
	TurnsSet     bool // WheelTurns is as set
	Counter      entry.CounterKind
	CounterTurns units.Turns
	Hitch        Hitch
	Reading      *Reading // the counter's latest, by the counter
	Readings     []Reading
	Back         []entry.ID       // readings and begins by which the counter would have run back: they count for nothing until it is settled how that came
	Marks        []entry.ID       // its boxes' entries that say what the counter showed, and those that correct it
	Correction   int64            // what the counter's areas are multiplied by now, in thousandths; 0 where nobody corrected it
	Seen         bool             // somebody said what its counter shows
	State        entry.DrillState // 0 where nobody said
	Pace         units.Area       // done in an hour, by the last readings that tell it; 0 where none do
}

// Reading is a reading of a drill's counter.
type Reading struct {
	Entry   entry.ID
	Reading units.Reading
	Ground  entry.ID
	Total   units.Reading // with the resets before it added
	From    units.Reading // where the stretch that it ended begins, likewise
	Area    units.Area    // of that stretch, by the counter
	Begin   bool          // it says where the counter stood when work began: nothing was worked up to it
	Checked bool          // the counter was held against a finished piece by then, and Area corrected by it
	Open    bool          // nobody said where the counter stood when work began: From is the least that is known
}

// Hitch is how the hitch of a drill stands. Ready is true only where nothing
// at all stands against it.
type Hitch struct {
	Ready    bool
	Begun    entry.ID // zero where none is
	Tractor  string
	Checks   entry.ID
	Version  int64
	Signed   []Signed
	Missing  []Missing // required checks not signed, and whatever else stands against
	New      []string  // of the missing, checks of a newer list, which can be signed for another hitch only
	Holds    []Hold    // open
	Released []Hold

	Strangers []Hold // open, by devices that nobody has let in yet: they stop work, too
	Late      []Hold // of a stopped device, past its first: shown, and they stop nothing
}

// Signed is a check that someone allowed to has signed for this hitch.
type Signed struct {
	Entry    entry.ID
	Item     int64
	Name     string
	Required bool
	By       entry.ID
	On       crew.On
	Wall     int64
}

// Hold is a hold that was raised.
type Hold struct {
	Entry      entry.ID
	By         entry.ID
	On         crew.On
	Why        string
	Wall       int64
	Release    entry.ID // zero while the hold is open
	ReleasedBy entry.ID
	ReleasedOn crew.On
	Seen       []HoldSeen // by whom, whoever raised it not among them; in total order, each person's first
}

// HoldSeen is that a person saw a hold.
type HoldSeen struct {
	Person entry.ID
	On     crew.On
	Wall   int64
	Entry  entry.ID
}

// Checklist is a list of checks.
type Checklist struct {
	ID      entry.ID
	Version int64
	Items   []entry.CheckItem
}

// Drained is seed of one lot let out of a box.
type Drained struct {
	Entry   entry.ID
	Lot     entry.ID
	Side    int64
	Mass    units.Mass
	Weighed bool // else by the books
}

// DrillFacts is what is set of a drill.
func (s *Work) DrillFacts(t *thing.Thing) Drill {
	num := func(n int) int64 { v, _ := t.Num(n); return v }
	d := Drill{
		ID: t.ID, Name: t.Text(thing.DrillName), Rows: num(thing.DrillRows), Spacing: units.Length(num(thing.DrillSpacing)),
		Width: units.Length(num(thing.DrillWidth)), Roll: units.Length(num(thing.DrillRoll)),
		WheelTurns: units.Turns(num(thing.DrillWheelTurns)), Counter: entry.CounterKind(num(thing.DrillCounter)),
		CounterTurns: units.Turns(num(thing.DrillCounterTurns)),
	}
	if d.Width == 0 && d.Rows > 0 && d.Spacing > 0 {
		if w, err := rate.Width(int(d.Rows), d.Spacing); err == nil {
			d.Width = w
		}
	}
	d.RollSet, d.TurnsSet = d.Roll > 0, d.WheelTurns > 0
	s.wheel(&d)
	return d
}

// wheel works out a roll from turns to the acre, or the other way round.
func (s *Work) wheel(d *Drill) {
	if d.Width == 0 {
		return
	}
	if d.WheelTurns == 0 && d.Roll > 0 {
		if n, err := rate.TurnsPerAcre(d.Roll, d.Width); err == nil {
			d.WheelTurns = n
		}
	}
	if d.Roll == 0 && d.WheelTurns > 0 {
		// roll = acre ÷ (turns × width): 1 cm² is 1e8 µm², and turns are thousandths.
		const acre1000 = 40_468_564_224 // an acre in cm², times 1,000
		if perWidth, err := units.MulDiv(acre1000, 1e8, int64(d.Width)); err == nil {
			if roll, err := units.MulDiv(perWidth, 1, int64(d.WheelTurns)); err == nil {
				d.Roll = units.Length(roll)
			}
		}
	}
}

// ReadingAfter is what the drill's counter will show once so much more ground is
// done by it. It is false where nobody read it yet, or what it counts is not
// known.
func (d *Drill) ReadingAfter(more units.Area) (units.Reading, bool) {
	c := d.counts()
	if d.Reading == nil || c.per <= 0 {
		return 0, false
	}
	n, err := units.MulDiv(int64(more), c.per*1000, c.unit)
	if err != nil {
		return 0, false
	}
	return d.Reading.Reading + units.Reading(n), true
}

// AreaOf is the area that a difference of the counter stands for; 0 where what it
// counts is not known, or the counter went back.
func (d *Drill) AreaOf(diff units.Reading) units.Area { return d.counts().Area(diff) }

func (d *Drill) counts() counting { return countingOf(d.Counter, d.CounterTurns) }

// counting is what a counter counts: an area in thousandths of a cm², and how many
// thousandths of the counter's unit go to it; none where that is not known.
type counting struct{ unit, per int64 }

func countingOf(kind entry.CounterKind, turns units.Turns) counting {
	const acre, hectare = 40_468_564_224, 100_000_000_000
	switch kind {
	case entry.CountsAcres:
		return counting{acre, 1000}
	case entry.CountsTurns:
		return counting{acre, int64(turns)}
	case entry.CountsHectares:
		return counting{hectare, 1000}
	}
	return counting{}
}

// Area is the area that a difference of the counter stands for.
func (c counting) Area(diff units.Reading) units.Area {
	if c.per <= 0 {
		return 0
	}
	n, err := units.MulDiv(int64(max(0, diff)), c.unit, c.per*1000)
	if err != nil {
		return 0
	}
	return units.Area(n)
}

// After is what the counter shows after so much more ground, as it counts and is
// corrected now. It is false where that is not known.
func (d *Drill) After(a units.Area) (units.Reading, bool) {
	c := countingOf(d.Counter, d.CounterTurns)
	if d.Reading == nil || c.per <= 0 {
		return 0, false
	}
	if d.Correction > 0 {
		n, err := units.MulDiv(int64(a), 1000, d.Correction)
		if err != nil {
			return 0, false
		}
		a = units.Area(n)
	}
	n, err := units.MulDiv(int64(a), c.per*1000, c.unit)
	return d.Reading.Reading + units.Reading(n), err == nil
}

// UsualRun is the run of the next catch from a box: that of the last one, or of
// a fiftieth of an acre over all rows, in whole turns. It is false where too
// little is known of the drill.
func (d *Drill) UsualRun(last *entry.Caught) (entry.Caught, bool) {
	const fiftieth, turn = 50, 1000
	if last != nil {
		return entry.Caught{Turns: last.Turns, Distance: last.Distance, Rows: last.Rows, Width: last.Width}, true
	}
	turns := (d.WheelTurns + fiftieth*turn - 1) / (fiftieth * turn) * turn
	return entry.Caught{Turns: turns, Rows: d.Rows}, turns > 0 && d.Rows > 0
}
