package message

import (
	"strconv"
	"strings"

	"turnrow/sync/entry"
)

// ID names a message in every catalogue. Each ID that the core uses is a
// constant, so that a test can hold a catalogue against them.
type ID string

// Message is one thing to say. The zero Message says nothing.
type Message struct {
	ID   ID
	Args []Arg
}

// Of is a message with its arguments, in the order in which the catalogue
// numbers them. An argument that is a zero Message, or an empty Text, is one
// that this message goes without.
func Of(id ID, args ...Arg) Message { return Message{id, args} }

// IsZero says whether there is nothing to say.
func (m Message) IsZero() bool { return m.ID == "" }

// Equal says whether two messages say the same.
func (m Message) Equal(o Message) bool { return m.String() == o.String() }

// String is the message as data, such as "filled(box(oat), 2 bags)": for tests
// and for whoever debugs the core, in no language.
func (m Message) String() string {
	if len(m.Args) == 0 {
		return string(m.ID)
	}
	args := make([]string, len(m.Args))
	for i, a := range m.Args {
		args[i] = a.String()
	}
	return string(m.ID) + "(" + strings.Join(args, ", ") + ")"
}

// The lists. Each says all of its arguments.
const (
	Commas     ID = "list.commas"
	Semicolons ID = "list.semicolons"
)

// List is several things said in a row; none where there are none.
func List(kind ID, of ...Message) Message {
	if len(of) == 0 {
		return Message{}
	}
	args := make([]Arg, len(of))
	for i, m := range of {
		args[i] = m
	}
	return Message{kind, args}
}

// Arg is an argument of a message: a Message, a Text, a Term, a Name or a
// Quantity.
type Arg interface {
	String() string
	isArg()
}

// Text is what somebody wrote, or a name of the trade: it is the same in every
// language.
type Text string

// String is the text, in quotes.
func (t Text) String() string { return strconv.Quote(string(t)) }

// Term is a word of a list of the record's own, such as a role. A catalogue may
// have other words for it; what it does not know is said as it is.
type Term struct{ List, Word string }

// TermOf is a word of a list.
func TermOf(list, word string) Term { return Term{list, word} }

// String is the word.
func (t Term) String() string { return t.Word }

// Name is what the crew calls a person, a device or a thing, by the time the
// message was made.
type Name struct {
	Of   entry.ID // zero for a device
	Name string
}

// String is the name.
func (n Name) String() string { return n.Name }

func (Message) isArg()  {}
func (Text) isArg()     {}
func (Term) isArg()     {}
func (Name) isArg()     {}
func (Quantity) isArg() {}
