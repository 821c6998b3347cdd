package answer

// Asked is what a command prints with --json in place of its answer where it
// has questions that nobody answered: nothing was written, and it ends with exit
// code 3.
type Asked struct {
	Ask []Question `json:"ask"` // all that are open
}

// Question is what is unlikely in what was to be written, with the readings to
// choose from.
type Question struct {
	Kind    string   `json:"kind"`            // of doubt that it would be, such as over-full
	What    string   `json:"what"`            // is asked, in words
	Instead *string  `json:"instead"`         // the likeliest other reading, in words; null where there is none
	Field   string   `json:"field,omitempty"` // that it is about, where it is about one
	Choices []Choose `json:"choices"`         // the first is as it was given
}

// Choose is one way to answer a question.
type Choose struct {
	Word   string `json:"word"`   // that names it
	What   string `json:"what"`   // it means, in words
	Answer Given  `json:"answer"` // to hand in again with what was to be written
}

// Given is an answer to a question: one of its choices, chosen by a person.
type Given struct {
	Kind   string `json:"kind"`   // of the question
	Body   int    `json:"body"`   // which of what was to be written it is about, from 0
	Choice string `json:"choice"` // its word
	Value  int64  `json:"value"`  // its figure, so that a yes is to what was asked and to nothing else
}
