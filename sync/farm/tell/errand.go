package tell

import (
	"turnrow/sync/entry"
	"turnrow/sync/message"
)

func (s *Teller) errand(b *entry.Errand) message.Message {
	what := message.Of("errand.unknown")
	if b.Of.IsZero() {
		what = s.asked(b)
	} else if of, ok := s.latest(b.Of).(*entry.Errand); ok {
		what = s.asked(of)
	}
	return noted(message.Of("errand", message.TermOf("errand", b.State.String()), what), b.Note)
}

// asked is what is asked for, and where it is to go.
func (s *Teller) asked(b *entry.Errand) message.Message {
	much := message.Arg(Bags(b.Bags))
	if b.Mass > 0 {
		much = message.MassAs(b.Mass, b.MassIn)
	}
	what := message.Of("errand.seed", much, s.Called(b.Lot))
	if !b.Box.IsZero() {
		what = message.Of("errand.for", what, s.BoxText(b.Box, b.Side))
	}
	if b.Gate != "" {
		what = message.Of("errand.gate", what, message.Text(b.Gate))
	}
	return what
}
