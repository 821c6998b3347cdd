package mobile

import (
	"errors"
	"slices"

	"turnrow/client"
	"turnrow/client/fields"
	"turnrow/client/setfile"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// intents says how each intent is read. INTENTS.md has a row for each.
var intents = map[string]func(*reading) client.Build{
	"bags": one(func(s *reading) client.Intent {
		return client.Bags{Lot: s.lot(), Bags: fields.Read(s.Reader, "bags", units.ParseCount), Out: s.Yes("out"), Note: s.Text("note")}
	}),
	"begin": one(func(s *reading) client.Intent {
		return client.Begin{Drill: s.drill(), Reading: fields.Read(s.Reader, "reading", units.ParseReading), Ground: s.ground(), Why: s.Text("why")}
	}),
	"bring": one(func(s *reading) client.Intent {
		return client.Bring{Errand: s.entry("errand"), State: s.state(), Note: s.Text("note")}
	}),
	"dial":  one(dial),
	"drain": one(drain),
	"fill":  one(fill),
	"finish": one(func(s *reading) client.Intent {
		return client.Finish{Ground: s.ground(), Drill: s.drill(), Reading: s.Counter("reading"), Not: s.Yes("not"), Correct: s.Yes("correct")}
	}),
	"hitch": one(func(s *reading) client.Intent { return client.Hitch{Drill: s.drill(), Tractor: s.Text("tractor")} }),
	"hold":  one(hold),
	"level": one(level),
	"make-up": one(func(s *reading) client.Intent {
		return client.MakeUp{Drill: s.drill(), For: s.madeUp(), Note: s.Text("note")}
	}),
	"note": one(func(s *reading) client.Intent { return client.Note{Text: s.Text("text"), About: s.thing("about")} }),
	"read": one(func(s *reading) client.Intent {
		if !s.Has("reading") {
			s.Refuse("reading", errMissing)
		}
		return client.Read{Drill: s.drill(), Reading: fields.Read(s.Reader, "reading", units.ParseReading), Ground: s.ground(), Note: s.Text("note")}
	}),
	"release": one(release),
	"reset": one(func(s *reading) client.Intent {
		return client.Reset{Drill: s.drill(), From: fields.Read(s.Reader, "from", units.ParseReading), To: fields.Read(s.Reader, "to", units.ParseReading), Why: s.Text("why")}
	}),
	"seen":   one(func(s *reading) client.Intent { return client.SeenHold{Holds: s.holds()} }),
	"set":    set,
	"settle": one(settle),
	"sign": one(func(s *reading) client.Intent {
		in := client.Sign{Drill: s.drill(), Hitch: s.entry("hitch")}
		for _, item := range s.Each("items") {
			in.Items = append(in.Items, s.WholeText("items", item))
		}
		return in
	}),
	"spot": one(func(s *reading) client.Intent {
		what, ok := entry.ParsePinned(s.Text("what"))
		if !ok {
			s.Refuse("what", errors.New("thin, blocked row, stone or other is wanted"))
		}
		in := s.Spot(what)
		in.Ground = s.ground()
		return in
	}),
	"spot-gone": one(func(s *reading) client.Intent { return client.SpotGone{Spot: s.entry("spot"), Text: s.Text("text")} }),
	"strike":    one(func(s *reading) client.Intent { return client.Strike{Entry: s.entry("entry"), Why: s.Text("why")} }),
	"unhitch":   one(func(s *reading) client.Intent { return client.Unhitch{Drill: s.drill(), Why: s.Text("why")} }),
	"want": one(func(s *reading) client.Intent {
		s.orElse("bags", "mass")
		in := s.Want()
		in.Lot = s.lot()
		if s.Has("box") {
			b, side := s.boxAndSide()
			in.Box, in.Side = b.ID, side
		}
		return in
	}),
	"weigh": one(func(s *reading) client.Intent {
		in := s.Weigh()
		in.Lot = s.lot()
		return in
	}),
}

// one builds what one intent says.
func one(read func(*reading) client.Intent) func(*reading) client.Build {
	return func(s *reading) client.Build { return s.on.Intend(read(s)) }
}

func fill(s *reading) client.Intent {
	b, side := s.boxAndSide()
	s.orElse("bags", "mass", "volume")
	in := s.Fill()
	in.Box, in.Side, in.Lot = b.ID, side, s.lot()
	return in
}

// orElse refuses a field beside others that say the same in another way.
func (s *reading) orElse(field string, others ...string) {
	if s.Has(field) && slices.ContainsFunc(others, s.Has) {
		s.Refuse(field, errors.New(string(client.TwoAmounts)))
	}
}

func drain(s *reading) client.Intent {
	b, side := s.boxAndSide()
	in := s.Drain()
	in.Box, in.Side, in.All = b.ID, side, s.Yes("all")
	return in
}

func level(s *reading) client.Intent {
	b, side := s.boxAndSide()
	in := s.Level()
	in.Box, in.Side = b.ID, side
	return in
}

func dial(s *reading) client.Intent {
	b, side := s.boxAndSide()
	if !s.Has("to") {
		s.Refuse("to", errMissing)
	}
	return client.Dial{Box: b.ID, Side: side, To: s.Reader.Dial("to", b, side), Why: s.Text("why"), Reading: s.Counter("reading")}
}

// hold is of every drill where none is named.
func hold(s *reading) client.Intent {
	return client.Hold{Drill: found(s, "drill", fields.Finder.DrillNamed).ID, Why: s.Text("why")}
}

func release(s *reading) client.Intent {
	return client.Release{Drill: s.drill(), Why: s.Text("why"), Holds: s.holds()}
}

// holds are the holds that are listed.
func (s *reading) holds() (ids []entry.ID) {
	for _, text := range s.Each("holds") {
		id, err := s.find().Entry(text)
		if err != nil {
			s.Refuse("holds", err)
		}
		ids = append(ids, id)
	}
	return ids
}

func settle(s *reading) client.Intent {
	d := found(s, "doubt", fields.Finder.Doubt)
	in := client.Settle{Doubt: d.ID(), Why: s.Text("why")}
	if d.Kind == farm.TwoSettings {
		box, side := dialOf(s.on, s.look(), &d)
		in.Dial = entry.Opt[units.Dial]{Val: s.Reader.Dial("stands", box, side), Set: s.Has("stands")}
		return in
	}
	in.Choice, in.Began = s.Text("stands"), s.Counter("value")
	return in
}

// set sets drill, boxes, lots, ground, plans and checks by the text of a set file.
func set(s *reading) client.Build {
	var on entry.ID
	if s.Has("drill") {
		on = s.drill()
	}
	file, err := setfile.Parse("file", []byte(s.Text("file")))
	if err == nil {
		err = file.CheckTests(func(day int64) error { return s.on.CheckDay("test date", day, client.TestYears) })
	}
	if err != nil {
		s.Refuse("file", err)
		return nil
	}
	return func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		bodies, err := file.Entries(look(), on, next)
		if err != nil {
			return nil, refused("file", err)
		}
		return bodies, nil
	}
}

var errMissing = errors.New(string(client.Missing))

// state is how far an errand has come, by its word.
func (s *reading) state() entry.ErrandState {
	for _, st := range []entry.ErrandState{entry.ErrandWanted, entry.ErrandOnTheWay, entry.ErrandThere} {
		if st.String() == s.Text("state") {
			return st
		}
	}
	s.Refuse("state", errors.New("wanted, on the way or there is wanted"))
	return entry.ErrandNotSaid
}

// madeUp is what a drill was made up for.
func (s *reading) madeUp() entry.DrillState {
	switch s.Text("for") {
	case "road":
		return entry.Transport
	case "field":
		return entry.InField
	}
	s.Refuse("for", errors.New("road or field is wanted"))
	return 0
}
