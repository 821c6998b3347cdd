package sheet

import (
	"strings"

	"golang.org/x/image/font/sfnt"

	"turnrow/client/safetext"
)

// missing stands for a letter that the typeface lacks.
const missing = '□'

// alphabet is the letters of a typeface.
type alphabet struct {
	font *sfnt.Font
	buf  sfnt.Buffer
	has  map[rune]bool
}

// newAlphabet reads a built-in typeface; it panics on a broken one, which no
// build that passed its tests can hold.
func newAlphabet(ttf []byte) *alphabet {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("built-in typeface: " + err.Error())
	}
	return &alphabet{font: f, has: map[rune]bool{}}
}

// known is a text with what the typeface lacks replaced, so that it shows that
// something stands there, and nothing in it that a reader would obey.
func (a *alphabet) known(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || a.holds(r):
			return r
		case r == '\t' || r == '\u00a0':
			return ' '
		}
		return missing
	}, safetext.Lines(text))
}

func (a *alphabet) holds(r rune) bool {
	if known, ok := a.has[r]; ok {
		return known
	}
	i, err := a.font.GlyphIndex(&a.buf, r)
	a.has[r] = err == nil && i != 0 && r <= 0xffff
	return a.has[r]
}
