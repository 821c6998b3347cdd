package slip

import (
	"slices"
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

// Slip is something that was written and is unlikely to be so: a catch ten
// times what the chart says, a fill that the box cannot hold. It is a finding
// like any other, and so a doubt that every replica shows until a person has
// said whether it is as written. What is about to be written is tried first, so
// that whoever writes it can be asked at once (State.Unlikely of farm).
type Slip struct {
	order.Finding                  // the last of its entries is what was written
	AskOnly       bool             // it is another doubt's once it is written
	DoubtOnly     bool             // each of its entries was asked about by itself
	field         string           // of that entry's body, that is unlikely
	figure        entry.Opt[int64] // that was written there, in the field's own unit
	says          func() reason    // why it is unlikely, where somebody reads it
}

// reason is why something is unlikely to be as it was written, and what may have
// been meant.
type reason struct {
	why     message.Message
	written message.Message // the figure as it was written
	asIs    message.Message // what it is as written, where that wants saying
	instead []meant         // what may have been meant, likeliest first
	beside  *beside         // what may be written besides, so that it can be as written
	open    bool            // it says nothing as it is: one of those is to be chosen
	// unsettled is how it is written all the same where that settles nothing.
	unsettled message.Message
	plain     bool // its choices are its kind's own
}

// meant is another body that may have been meant.
type meant struct {
	text  message.Message  // the figure
	how   message.Message  // it came to be written otherwise
	value entry.Opt[int64] // in the field's own unit
	body  entry.Body       // nil where nothing was to be written at all
	with  []entry.Body     // what other entries are to be then
	one   entry.ID         // or the thing that two are, one misspelt
	word  string           // of its choice; "" for "instead"
	of    *order.Rec       // whose body it is, or that is left out, where that is not the last of the slip's
	say   string           // or a word of its own that a settlement says
}

// beside is another thing that happened and was not written down.
type beside struct {
	word string
	what message.Message
	body entry.Body
}

// Slips finds what is unlikely to be as it was written.
type Slips struct{ tell.Teller }

// AllSlips finds all that is unlikely to be as it was written.
func (s *Slips) AllSlips(v *view.View, boxes []*thing.Thing, flows []*work.Flow) []Slip {
	// The counter's come first: what a reading that is wrong makes of the boxes
	// follows from it.
	acres := s.groundSlips()
	out := slices.Clone(acres)
	for _, t := range s.Sorted(thing.Drill) {
		out = append(out, s.drillSlips(t)...)
		counted := append(slices.Clone(acres), s.counterSlips(t, acres)...)
		out = append(out, counted[len(acres):]...)
		out = append(out, s.besideSlips(t, v, counted)...)
	}
	species, usual := work.SpeciesNames{}, usualRates{}
	grounds := s.Sorted(thing.Ground)
	for i, t := range boxes {
		out = append(out, s.catchSlips(t, flows[i], usual)...)
		out = append(out, s.contentSlips(flows[i])...)
		out = append(out, s.dialSlips(t)...)
		out = append(out, s.farDials(t, flows[i], v)...)
		out = append(out, s.speciesSlips(t, grounds, species)...)
		out = append(out, s.seedSlips(t, flows[i])...)
	}
	for _, t := range grounds {
		out = append(out, s.planSlips(t, usual)...)
		out = append(out, s.finishSlips(t, v)...)
	}
	out = append(out, s.bagSlips(flows)...)
	out = append(out, s.nameSlips()...)
	out = append(out, s.seedNameSlips()...)
	out = append(out, s.changedSeedSlips(boxes, species)...)
	out = append(out, s.labelSlips(species)...)
	return append(out, s.coatingSlips(v)...)
}

// contentSlips is what a box's content does not bear out, as it was found along
// the counter.
func (s *Slips) contentSlips(f *work.Flow) []Slip {
	out := make([]Slip, 0, len(f.Content.Odd))
	for _, o := range f.Content.Odd {
		switch o := o.(type) {
		case work.DryWork:
			out = append(out, s.drySlip(f, o))
		case work.OddLevel:
			out = append(out, s.levelSlip(f, o))
		case work.OverDrain:
			out = append(out, s.overDrainSlip(f, o))
		case work.SmallAll:
			out = append(out, s.smallAllSlip(f, o))
		case work.FillTwice:
			out = append(out, s.twiceSlip(f, o))
		case work.OverFill:
			out = append(out, s.overFullSlip(f, o))
		case work.LittleFill:
			out = append(out, s.littleSlip(f, o))
		}
	}
	return out
}

// TellSlip makes a doubt of a slip, with all that there is to say of it or only
// what it is and rests on. It may be asked about before it is written, or in
// doubt afterwards.
func (s *Slips) TellSlip(sl *Slip, entries []entry.ID, all, asking bool) conflict.Doubt {
	d := s.Tell(sl.Finding, entries, all)
	if d.Field = sl.field; !all {
		return d
	}
	t := sl.says()
	if d.Why = t.why; t.plain {
		return d
	}
	d.Choices = []conflict.Choice{conflict.AsWritten(t.written, sl.figure)}
	switch {
	case t.open && len(t.instead) > 0:
		d.Choices = nil
	case !t.unsettled.IsZero():
		d.Choices = []conflict.Choice{{Word: "worked", What: t.unsettled, Value: sl.figure, Figure: t.written}}
	case !t.asIs.IsZero():
		d.Choices[0].What = t.asIs
	}
	if b := t.beside; b != nil {
		d.Choices = append(d.Choices, conflict.Choice{Word: b.word, What: b.what, Say: entry.AsWritten, Value: sl.figure, Body: b.body})
	}
	last := sl.Recs[len(sl.Recs)-1]
	for i, m := range t.instead {
		if s.offers(&m, last, asking) {
			d.Choices = append(d.Choices, m.choice(i, entries[len(entries)-1]))
		}
	}
	return d
}

// offers says whether a reading is one to choose: an entry is not amended to one
// of another kind, and whoever writes may not leave out what others wrote
// unless they may change it.
func (s *Slips) offers(m *meant, last *order.Rec, asking bool) bool {
	switch {
	case m.of != nil:
		return !asking || m.of.By == last.By || s.RoleOf(last) >= entry.Operator
	case m.body != nil && m.one.IsZero() && !asking:
		return m.body.Kind() == last.Body.Kind()
	}
	return true
}

// choice is another reading as a choice, the i'th of them, of the last entry of
// a doubt.
func (m *meant) choice(i int, last entry.ID) conflict.Choice {
	c := conflict.Choice{Word: entry.Instead, What: m.text, Say: entry.Instead, Value: m.value, Figure: m.text, Of: last, Body: m.body, With: m.with}
	if i > 0 {
		c.Word += "-" + strconv.Itoa(i+1)
	}
	if m.word != "" {
		c.Word = m.word
	}
	if !m.how.IsZero() {
		c.What = message.Of("noted", m.text, m.how)
	}
	switch {
	case m.say != "":
		c.Word, c.Say, c.Of = m.say, m.say, entry.ID{}
	case m.of != nil:
		c.Of = m.of.ID()
	case !m.one.IsZero():
		c.Of, c.Stands = entry.ID{}, []entry.ID{m.one}
	}
	return c
}

// Confirms says whether a settlement is about the slip's figure as it stands.
func (sl *Slip) Confirms(b *entry.Settled) bool { return conflict.Confirms(b, sl.figure) }

// shown is an argument as a message of its own.
func shown(a message.Arg) message.Message {
	if m, ok := a.(message.Message); ok {
		return m
	}
	return message.Of("value", a)
}

// written is what somebody wrote, likewise.
func written(text string) message.Message { return shown(message.Text(text)) }
