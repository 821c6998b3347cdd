package conflict

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/message"
)

// DoubtKind names a kind of doubt.
type DoubtKind string

// The kinds of doubt.
const (
	TwoSettings   DoubtKind = "two-settings"   // a dial moved apart to different marks
	DoubleEntry   DoubtKind = "double-entry"   // one fill written twice, it seems
	TwoPlans      DoubtKind = "two-plans"      // one field set apart to different values
	UnprovedRate  DoubtKind = "unproved-rate"  // seed went out that no catch backs
	CounterBack   DoubtKind = "counter-back"   // a reading below one that its writer knew
	CounterBegin  DoubtKind = "counter-begin"  // nobody said where the counter stood when work began
	TwoBegins     DoubtKind = "two-begins"     // two begins, written apart, that differ
	TwoPieces     DoubtKind = "two-pieces"     // one stretch of the counter claimed for two pieces of ground
	Balance       DoubtKind = "balance"        // a level further off than the uncertainty allows
	MixedLots     DoubtKind = "mixed-lots"     // a box holds what the plan does not put there
	TwoSeeds      DoubtKind = "two-seeds"      // a second species poured onto the first: mixed, or one above the other
	WorkedUnready DoubtKind = "worked-unready" // the counter moved while the drill was not ready
	NoRight       DoubtKind = "no-right"       // written by someone without the right
	AfterStop     DoubtKind = "after-stop"     // written on a device after it was stopped
	SameName      DoubtKind = "same-name"      // two things made apart under one name
	WrongClock    DoubtKind = "clock"          // a wall clock that others' entries contradict
	Forked        DoubtKind = "forked"         // one device wrote two logs
	AmendedApart  DoubtKind = "amended-apart"  // one entry amended apart to different words
	OneInvite     DoubtKind = "one-invite"     // two devices were let in on one invite
)

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

// AsWritten is the choice to let a slip stand.
func AsWritten(written message.Message, figure entry.Opt[int64]) Choice {
	what := message.Of("choice.as-written")
	if !written.IsZero() {
		what = message.Of("choice.figure-as-written", written)
	}
	return Choice{Word: entry.AsWritten, What: what, Say: entry.AsWritten, Value: figure, Figure: written}
}

// Confirms says whether a settlement is about the figure that stands now: who
// said yes to one has not said yes to what it was amended to since.
func Confirms(b *entry.Settled, figure entry.Opt[int64]) bool {
	return b.Choice == entry.Instead || !b.Value.Set || !figure.Set || b.Value == figure
}

// Settling is what to write to settle a doubt by one of its choices: another
// body in place of an entry's, or none, where that was chosen, and the
// settlement itself. An entry that is struck says why, or what was chosen where
// nobody said why.
func (d *Doubt) Settling(c Choice, why, chosen string) []entry.Body {
	st := &entry.Settled{Doubt: string(d.Kind), Entries: d.Entries, Stands: c.Stands, Why: why, Choice: c.Say, Value: c.Value}
	switch {
	case c.Of.IsZero() && c.Body != nil:
		return []entry.Body{st, c.Body}
	case c.Of.IsZero():
		return []entry.Body{st}
	case c.Body == nil:
		if why == "" {
			why = chosen
		}
		return []entry.Body{&entry.Struck{Entry: c.Of, Why: why}, st}
	}
	out := append([]entry.Body{&entry.Amended{Entry: c.Of, Why: why, Body: c.Body}}, c.With...)
	return append(out, st)
}

// IsAnswer says whether a settlement is the answer to something that was asked
// before it was written, or that its writer knows best: a seed in the wrong box,
// or a second one poured onto the first.
func IsAnswer(b *entry.Settled) bool {
	return DoubtKind(b.Doubt).IsSlip() || b.Doubt == string(MixedLots) && b.Choice == entry.AsWritten ||
		b.Doubt == string(TwoSeeds) || b.Doubt == string(CounterBegin)
}
