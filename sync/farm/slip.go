package farm

import (
	"slices"
	"strconv"

	"turnrow/sync/entry"
)

// A slip is something that was written and is unlikely to be so: a catch ten
// times what the chart says, a fill that the box cannot hold. It is a finding
// like any other, and so a doubt that every replica shows until a person has
// said whether it is as written. What is about to be written is tried first, so
// that whoever writes it can be asked at once ([State.Unlikely]).
type slip struct {
	finding                    // the last of its entries is what was written
	askOnly   bool             // it is another doubt's once it is written
	doubtOnly bool             // each of its entries was asked about by itself
	field     string           // of that entry's body, that is unlikely
	figure    entry.Opt[int64] // that was written there, in the field's own unit
	says      func() slipWords // why it is unlikely, where somebody reads it
}

// slipWords is a slip in words.
type slipWords struct {
	why     string  // why it is unlikely
	written string  // the figure as it was written
	asIs    string  // what it is as written, where that wants saying
	instead []meant // what may have been meant, likeliest first
	beside  *beside // what may be written besides, so that it can be as written
	open    bool    // it says nothing as it is: one of those is to be chosen
	// unsettled is how it is written all the same where that settles nothing.
	unsettled string
	plain     bool // its choices are its kind's own
}

// meant is another body that may have been meant.
type meant struct {
	text  string           // the figure
	how   string           // it came to be written otherwise
	value entry.Opt[int64] // in the field's own unit
	body  entry.Body       // nil where nothing was to be written at all
	with  []entry.Body     // what other entries are to be then
	one   entry.ID         // or the thing that two are, one misspelt
	word  string           // of its choice; "" for "instead"
	of    *rec             // whose body it is, or that is left out, where that is not the last of the slip's
	say   string           // or a word of its own that a settlement says
}

// beside is another thing that happened and was not written down.
type beside struct {
	word, what string
	body       entry.Body
}

// The kinds of slips.
const (
	UnlikelyCatch DoubtKind = "unlikely-catch" // caught far more or less than chart or other catches say
	OverFull      DoubtKind = "over-full"      // more poured than the box holds
	LittlePoured  DoubtKind = "little-poured"  // a mass poured that is far below anything that is
	PouredTwice   DoubtKind = "poured-twice"   // the same fill twice by one person within minutes
	LevelTooHigh  DoubtKind = "level-too-high" // a level above all that can be in the box
	LevelTooLow   DoubtKind = "level-too-low"  // a level far below what must be in the box
	OverDrained   DoubtKind = "over-drained"   // more let out than can have been in the box
	MoreThanCame  DoubtKind = "more-than-came" // more left the bags of a lot than came
	NearName      DoubtKind = "near-name"      // a thing whose name is so like another's that it may be misspelt
	SameDial      DoubtKind = "same-dial"      // a dial moved to where it stood already
	UnlikelyDial  DoubtKind = "unlikely-dial"  // a dial that stands far from the aim, or far beyond the chart
	UnlikelyRate  DoubtKind = "unlikely-rate"  // a planned rate far outside what is published
	UnlikelyWidth DoubtKind = "unlikely-width" // a spacing, width or wheel that no drill has
	OtherSpecies  DoubtKind = "other-species"  // a lot of a species that neither chart nor plans name for the box
	TooManyAcres  DoubtKind = "too-many-acres" // a reading that makes more acres than the piece has
	TooFast       DoubtKind = "too-fast"       // a pace that no drill has
	TooFarBack    DoubtKind = "too-far-back"   // a reading beside a fill, say, from before the work
	RanDry        DoubtKind = "ran-dry"        // ground worked on after the seed for it was out by the books

	NearSpecies    DoubtKind = "near-species"    // a species that nobody knows, so like another that it may be misspelt
	ChangedSpecies DoubtKind = "changed-species" // a lot given another species after seed of it was poured
	OtherLabel     DoubtKind = "other-label"     // a label that names other seed than its lot
	UnclearCoating DoubtKind = "unclear-coating" // a label that does not tell whether its purity counts the coating
	FinishedEarly  DoubtKind = "finished-early"  // ground finished far below its area by the counter
)

// slipKinds are the kinds that are asked about before they are written.
var slipKinds = []DoubtKind{UnlikelyCatch, OverFull, PouredTwice, LevelTooHigh, LevelTooLow, OverDrained, MoreThanCame,
	NearName, SameDial, UnlikelyDial, UnlikelyRate, UnlikelyWidth, OtherSpecies, TooManyAcres, TooFast, TooFarBack, RanDry, CounterBack,
	NearSpecies, ChangedSpecies, OtherLabel, UnclearCoating, FinishedEarly, LittlePoured}

// IsSlip says whether doubts of a kind are about something that is unlikely to
// be as it was written.
func (k DoubtKind) IsSlip() bool { return slices.Contains(slipKinds, k) }

// slipSt finds what is unlikely to be as it was written.
type slipSt struct{ wordSt }

// slips finds all that is unlikely to be as it was written.
func (s *slipSt) slips(v *View, boxes []*thing, flows []*flow) []slip {
	// The counter's come first: what a reading that is wrong makes of the boxes
	// follows from it.
	acres := s.groundSlips()
	out := slices.Clone(acres)
	for _, t := range s.sorted(drill) {
		out = append(out, s.drillSlips(t)...)
		counted := append(slices.Clone(acres), s.counterSlips(t, acres)...)
		out = append(out, counted[len(acres):]...)
		out = append(out, s.besideSlips(t, v, counted)...)
	}
	species, usual := speciesNames{}, usualRates{}
	grounds := s.sorted(ground)
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
func (s *slipSt) contentSlips(f *flow) []slip {
	out := make([]slip, 0, len(f.content.odd))
	for _, o := range f.content.odd {
		switch o := o.(type) {
		case dryWork:
			out = append(out, s.drySlip(f, o))
		case oddLevel:
			out = append(out, s.levelSlip(f, o))
		case overDrain:
			out = append(out, s.overDrainSlip(f, o))
		case smallAll:
			out = append(out, s.smallAllSlip(f, o))
		case fillTwice:
			out = append(out, s.twiceSlip(f, o))
		case overFill:
			out = append(out, s.overFullSlip(f, o))
		case littleFill:
			out = append(out, s.littleSlip(f, o))
		}
	}
	return out
}

// wordSlip puts a slip into words, or only says what it is and rests on. It may
// be asked about before it is written, or in doubt afterwards.
func (s *slipSt) wordSlip(sl *slip, entries []entry.ID, words, asking bool) Doubt {
	d := s.word(sl.finding, entries, words)
	if d.Field = sl.field; !words {
		return d
	}
	t := sl.says()
	if d.Why = t.why; t.plain {
		return d
	}
	d.Choices = []Choice{asWritten(t.written, sl.figure)}
	switch {
	case t.open && len(t.instead) > 0:
		d.Choices = nil
	case t.unsettled != "":
		d.Choices = []Choice{{Word: "worked", What: t.unsettled, Value: sl.figure, Figure: t.written}}
	case t.asIs != "":
		d.Choices[0].What = t.asIs
	}
	if b := t.beside; b != nil {
		d.Choices = append(d.Choices, Choice{Word: b.word, What: b.what, Say: entry.AsWritten, Value: sl.figure, Body: b.body})
	}
	last := sl.recs[len(sl.recs)-1]
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
func (s *slipSt) offers(m *meant, last *rec, asking bool) bool {
	switch {
	case m.of != nil:
		return !asking || m.of.by == last.by || s.roleOf(last) >= entry.Operator
	case m.body != nil && m.one.IsZero() && !asking:
		return m.body.Kind() == last.body.Kind()
	}
	return true
}

// choice is another reading as a choice, the i'th of them, of the last entry of
// a doubt.
func (m *meant) choice(i int, last entry.ID) Choice {
	c := Choice{Word: entry.Instead, What: m.text, Say: entry.Instead, Value: m.value, Figure: m.text, Of: last, Body: m.body, With: m.with}
	if i > 0 {
		c.Word += "-" + strconv.Itoa(i+1)
	}
	if m.word != "" {
		c.Word = m.word
	}
	if m.how != "" {
		c.What += " (" + m.how + ")"
	}
	switch {
	case m.say != "":
		c.Word, c.Say, c.Of = m.say, m.say, entry.ID{}
	case m.of != nil:
		c.Of = m.of.id()
	case !m.one.IsZero():
		c.Of, c.Stands = entry.ID{}, []entry.ID{m.one}
	}
	return c
}

// asWritten is the choice to let a slip stand.
func asWritten(written string, figure entry.Opt[int64]) Choice {
	what := "it is as written"
	if written != "" {
		what = written + ", as written"
	}
	return Choice{Word: entry.AsWritten, What: what, Say: entry.AsWritten, Value: figure, Figure: written}
}

func (sl *slip) confirms(b *entry.Settled) bool { return confirms(b, sl.figure) }

// confirms says whether a settlement is about the figure that stands now: who
// said yes to one has not said yes to what it was amended to since.
func confirms(b *entry.Settled, figure entry.Opt[int64]) bool {
	return b.Choice == entry.Instead || !b.Value.Set || !figure.Set || b.Value == figure
}

// Settling is what to write to settle a doubt by one of its choices: another
// body in place of an entry's, or none, where that was chosen, and the
// settlement itself.
func (d *Doubt) Settling(c Choice, why string) []entry.Body {
	st := &entry.Settled{Doubt: string(d.Kind), Entries: d.Entries, Stands: c.Stands, Why: why, Choice: c.Say, Value: c.Value}
	switch {
	case c.Of.IsZero() && c.Body != nil:
		return []entry.Body{st, c.Body}
	case c.Of.IsZero():
		return []entry.Body{st}
	case c.Body == nil:
		if why == "" {
			why = c.What
		}
		return []entry.Body{&entry.Struck{Entry: c.Of, Why: why}, st}
	}
	out := append([]entry.Body{&entry.Amended{Entry: c.Of, Why: why, Body: c.Body}}, c.With...)
	return append(out, st)
}

// isAnswer says whether a settlement is the answer to something that was asked
// before it was written, or that its writer knows best: a seed in the wrong box,
// or a second one poured onto the first.
func isAnswer(b *entry.Settled) bool {
	return DoubtKind(b.Doubt).IsSlip() || b.Doubt == string(MixedLots) && b.Choice == entry.AsWritten ||
		b.Doubt == string(TwoSeeds) || b.Doubt == string(CounterBegin)
}

// ownSlip says whether an entry settles slips of its own writer alone: whoever
// may write a thing may say that it is as written.
func (s *crewSt) ownSlip(r *rec) bool {
	b, ok := r.body.(*entry.Settled)
	return ok && isAnswer(b) && !slices.ContainsFunc(b.Entries, func(id entry.ID) bool {
		of := s.find(id)
		return of == nil || !r.knew(of) || of.by != r.by
	})
}
