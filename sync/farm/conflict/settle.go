package conflict

import (
	"slices"

	"turnrow/sync/entry"
)

// Says says whether a settlement says what its kind of doubt asks: what a dial
// reads, since it is one thing on one machine and someone has to look; or which
// of the entries stands. Of where a counter began, it cannot tell by itself.
func Says(b *entry.Settled) bool {
	for _, id := range b.Stands {
		if !slices.Contains(b.Entries, id) {
			return false
		}
	}
	switch DoubtKind(b.Doubt) {
	case TwoSettings:
		return b.Dial.Set
	case TwoPlans:
		return len(b.Stands) == 1
	case DoubleEntry, TwoBegins:
		return len(b.Stands) > 0
	case CounterBack:
		return len(b.Entries) == 1 && (b.Choice == entry.Instead || b.Value.Set && (b.Choice == entry.AsWritten || b.Choice == entry.SetBack))
	case TwoSeeds:
		return len(b.Entries) == 1 && (b.Choice == entry.Blended || b.Choice == entry.Layered)
	}
	return !DoubtKind(b.Doubt).IsSlip() || b.Choice == entry.AsWritten || b.Choice == entry.Instead
}

// SameOutcome says whether two settlements of one doubt come to the same. Where
// there is nothing to choose, it is enough that somebody looked.
func SameOutcome(a, b *entry.Settled) bool {
	switch DoubtKind(a.Doubt) {
	case TwoSettings, TwoPlans, DoubleEntry, SameName, TwoBegins:
		return slices.Equal(a.Stands, b.Stands) && a.Dial == b.Dial
	case CounterBegin:
		return a.Choice == b.Choice && a.Value == b.Value
	case TwoSeeds:
		return a.Choice == b.Choice
	}
	return !DoubtKind(a.Doubt).IsSlip() || a.Choice == b.Choice && a.Value == b.Value
}

// Looked is an entry that some settlement of a kind of doubt names.
type Looked struct {
	Kind  string
	Entry entry.ID
}

// JoinsThings says whether a settlement says that things are one, and which
// they are then.
func JoinsThings(b *entry.Settled) bool {
	oneOf := len(b.Stands) == 1 && slices.Contains(b.Entries, b.Stands[0])
	return oneOf && (b.Doubt == string(SameName) || b.Doubt == string(NearName) && b.Choice == entry.Instead)
}
