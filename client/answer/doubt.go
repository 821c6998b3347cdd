package answer

// Doubt is what only a person can settle. `turnrow doubts` prints a list of
// them, settled ones too. What a program needs of one is in Kind, ID, Entries,
// Field and Choices; the rest is words, and the same words as data.
type Doubt struct {
	ID      string   `json:"id"`                   // of its kind and entries: a doubt that a further entry joins is another one
	Kind    string   `json:"kind"`                 // such as two-settings
	About   string   `json:"about"`                // in words: what it is about
	What    string   `json:"what"`                 // in words: what was written, by whom
	Field   string   `json:"field,omitempty"`      // of the last entry, that is unlikely; left out where it is about none
	Why     string   `json:"unlikely,omitempty"`   // in words: why it is unlikely; left out where it is about no slip
	Look    string   `json:"look"`                 // in words: what to go and look at
	Entries []string `json:"entries"`              // IDs of those behind it, in order
	Choices []Choice `json:"choices"`              // what may be said to stand
	Settled bool     `json:"settled"`              // somebody has
	By      string   `json:"settled_by,omitempty"` // ID of the settlement; left out where it is not settled

	AboutData *Message `json:"about_data,omitempty"`    // what about says, as data
	WhatData  *Message `json:"what_data,omitempty"`     // what what says, as data
	WhyData   *Message `json:"unlikely_data,omitempty"` // what unlikely says, as data
}

// Choice is one way to settle a doubt.
type Choice struct {
	Word   string   `json:"word"`             // for `turnrow settle --stands`: for two settings of a dial, what the dial shows
	What   string   `json:"what"`             // in words
	Stands []string `json:"stands"`           // IDs of the entries that stand by it
	Say    string   `json:"say,omitempty"`    // what the settlement says, where that is no entry, such as as-written, instead or began-at
	Figure string   `json:"figure,omitempty"` // in words, where the choice has one
	Of     string   `json:"of,omitempty"`     // ID of the entry that is amended or struck with it; left out where none is

	WhatData *Message `json:"what_data,omitempty"` // what what says, as data
}
