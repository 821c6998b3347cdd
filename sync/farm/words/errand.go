package words

import (
	"turnrow/sync/entry"
)

func (s *Words) errand(b *entry.Errand) string {
	if b.Of.IsZero() {
		return s.join(b.State.String()+": "+s.askedText(b), b.Note)
	}
	what := "what was asked for"
	if of, ok := s.latest(b.Of).(*entry.Errand); ok {
		what = s.askedText(of)
	}
	return s.join(b.State.String()+": "+what, b.Note)
}

// askedText is what is asked for, and where it is to go.
func (s *Words) askedText(b *entry.Errand) string {
	what := BagsText(b.Bags)
	if b.Mass > 0 {
		what = b.Mass.As(b.MassIn, s.System())
	}
	what += " of " + s.Name(b.Lot)
	if !b.Box.IsZero() {
		what += " for " + s.BoxSide(b.Box, b.Side)
	}
	if b.Gate != "" {
		what += ", at " + b.Gate
	}
	return what
}
