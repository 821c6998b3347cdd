package tell

import (
	"turnrow/sync/entry"
	"turnrow/sync/message"
)

func (s *Teller) pinned(b *entry.Pinned) message.Message {
	if b.Of.IsZero() {
		return noted(s.spot(b), b.Text)
	}
	was := message.Of("spot.unknown")
	if of, ok := s.latest(b.Of).(*entry.Pinned); ok {
		was = s.spot(of)
	}
	return noted(message.Of("spot.gone", was), b.Text)
}

// spot is what is at a spot, and where, without its text.
func (s *Teller) spot(b *entry.Pinned) message.Message {
	what := message.Of("spot")
	switch b.What {
	case entry.PinnedThin:
		what = message.Of("spot.thin")
	case entry.PinnedBlockedRow:
		what = message.Of("spot.blocked-row")
	case entry.PinnedStone:
		what = message.Of("spot.stone")
	}
	if !b.Ground.IsZero() {
		what = message.Of("spot.on", what, s.Called(b.Ground))
	}
	if b.Row > 0 {
		what = message.Of("spot.row", what, message.Whole(b.Row))
	}
	if b.Length > 0 {
		what = message.Of("spot.long", what, message.LengthAs(b.Length, b.LengthIn))
	}
	if b.Width > 0 {
		what = message.Of("spot.wide", what, message.LengthAs(b.Width, b.WidthIn))
	}
	return place(what, b)
}

// place is a spot with its latitude and longitude, and how far off they may be,
// where its writer's device knew them.
func place(what message.Message, b *entry.Pinned) message.Message {
	if !b.Latitude.Set {
		return what
	}
	what = message.Of("spot.at", what, message.Degrees(b.Latitude.Val), message.Degrees(b.Longitude.Val))
	if b.Accuracy > 0 {
		what = message.Of("spot.within", what, message.Metres(b.Accuracy))
	}
	return what
}
