package page

import (
	_ "embed"
	"fmt"
	"strings"
)

//go:embed english.txt
var english string

// words is every text that the page shows of its own, in English. What the
// record itself says in words comes from the farm.
var words = readCatalogue(english)

// catalogue is texts by their keys. A text may hold the verbs of package fmt.
type catalogue map[string]string

// readCatalogue reads lines of the form «key = text»; # starts a remark.
func readCatalogue(text string) catalogue {
	c := catalogue{}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		key, val, ok := strings.Cut(line, " = ")
		if !ok || c[key] != "" {
			panic("catalogue: not one text: " + line) // part of the program
		}
		c[key] = val
	}
	return c
}

// text is a text with its arguments put in; the key itself where there is none.
func (c catalogue) text(key string, args ...any) string {
	t, ok := c[key]
	if !ok {
		return key
	}
	if len(args) == 0 {
		return t
	}
	return fmt.Sprintf(t, args...)
}

// names says whether a text has room for the name of what it is about.
func (c catalogue) names(key string) bool { return strings.Contains(c[key], "%s") }

// count is the text for a number of things: key.one for one of them, key.many
// with the number for others.
func (c catalogue) count(key string, n int) string {
	if n == 1 {
		return c.text(key + ".one")
	}
	return c.text(key+".many", n)
}
