package rate

// Caution is something that a person should weigh before sowing: advice, not a
// bar. Source names what it rests on.
type Caution struct {
	Text   string
	Source string
}

// commonPractice marks what the trade does and no publication was read for.
const commonPractice = "common practice, no source"

// String gives the text with its source in brackets.
func (c Caution) String() string { return c.Text + " (" + c.Source + ")" }
