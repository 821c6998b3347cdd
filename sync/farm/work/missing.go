package work

import "turnrow/sync/message"

// Missing is one thing that stands against a hitch.
type Missing struct {
	Why   message.ID
	Check string // of Unsigned and NewCheck: the check
	N     int64  // of Waiting: how many; of NewCheck: the list's version
}

// What stands against a hitch.
const (
	NoHitch    message.ID = "missing.hitch"       // none is begun
	TwoHitches message.ID = "missing.two-hitches" // two were begun apart
	NoList     message.ID = "missing.list"        // its list of checks is not here
	Unsigned   message.ID = "missing.check"       // a check that is required
	NewCheck   message.ID = "missing.new-check"   // the same, on a list that came since it was begun
	Waiting    message.ID = "missing.waiting"     // entries wait for others, and a hold may be among them
)

// Message says what is missing.
func (m Missing) Message() message.Message {
	switch m.Why {
	case Unsigned:
		return message.Of(m.Why, message.Text(m.Check))
	case NewCheck:
		return message.Of(m.Why, message.Text(m.Check), message.Whole(m.N))
	case Waiting:
		return message.Of(m.Why, message.Whole(m.N))
	}
	return message.Of(m.Why)
}
