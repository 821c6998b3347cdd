package answer

// Message is something that the record says, as data: which message, and its
// arguments in order. What it reads in words stands beside it. IDs are those of
// the catalogue client/words/english.txt; there may be more in a later program.
type Message struct {
	ID   string `json:"id"`             // such as slip.over-full
	Args []Arg  `json:"args,omitempty"` // in the order in which its words name them
}

// Arg is one argument of a message. One of message, text, term, name, unit and
// low_ug_m2 says what it is.
type Arg struct {
	Message *Message `json:"message,omitempty"`    // a message within the message
	Text    string   `json:"text,omitempty"`       // what somebody wrote
	Term    string   `json:"term,omitempty"`       // a word of the record's own, such as operator
	Name    string   `json:"name,omitempty"`       // what the crew calls a person, a device or a thing
	Of      string   `json:"of,omitempty"`         // beside name: the ID of the person or thing; left out for a device
	Unit    string   `json:"unit,omitempty"`       // of value: mg, cm2, ug/m2, 1e-3/m2, um, ml, 1e-2 money, 1e-3 %, 1e-3, 1, 1e-7 degrees or 1e-6 times
	Value   *int64   `json:"value,omitempty"`      // beside unit, in that unit
	Low     *int64   `json:"low_ug_m2,omitempty"`  // the least of two rates, in µg to the m²
	High    *int64   `json:"high_ug_m2,omitempty"` // and the greatest
}
