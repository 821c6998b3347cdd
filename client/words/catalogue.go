package words

import (
	"fmt"
	"strings"
)

// Catalogue is texts by their keys. A text may hold the verbs of package fmt.
type Catalogue map[string]string

// Read reads lines of the form «key = text»; # starts a remark. A text that
// begins with a blank stands in quotes. It panics where a line is none, or a key
// stands twice: a catalogue is part of the program.
func Read(text string) Catalogue {
	c := Catalogue{}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		key, val, ok := strings.Cut(line, " = ")
		if !ok || c[key] != "" {
			panic("catalogue: not one text: " + line)
		}
		if strings.HasPrefix(val, `" `) {
			val = strings.Trim(val, `"`)
		}
		c[key] = val
	}
	return c
}

// Text is a text with its arguments put in; the key itself where there is none.
func (c Catalogue) Text(key string, args ...any) string {
	t, ok := c[key]
	if !ok {
		return key
	}
	if len(args) == 0 {
		return t
	}
	return fmt.Sprintf(t, args...)
}

// Count is the text for a number of things: key.one for one of them, key.many
// with the number for others.
func (c Catalogue) Count(key string, n int) string {
	if n == 1 {
		return c.Text(key + ".one")
	}
	return c.Text(key+".many", n)
}

// Takes says whether a text has room for an argument.
func (c Catalogue) Takes(key string) bool { return strings.Contains(c[key], "%s") }
