package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What people wrote down is shown on other people's terminals. A terminal
// obeys control characters (ECMA-48), and shows text with bidirectional
// controls in another order than it is in (Unicode Standard Annex 9): with
// either, a note could overwrite the lines above it, or read as what it is
// not. So they are shown, not sent.

// visible is a text of one line with what a terminal would obey written out,
// as \u001b or \u202e.
func visible(text string) string {
	if strings.IndexFunc(text, obeyed) < 0 && utf8.ValidString(text) {
		return text
	}
	var b strings.Builder
	for len(text) > 0 {
		r, n := utf8.DecodeRuneInString(text)
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, text[0])
		case r == '\n':
			b.WriteString(`\n`)
		case obeyed(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteString(text[:n])
		}
		text = text[n:]
	}
	return b.String()
}

// obeyed says whether a terminal may do something else with a character than
// show it in its place.
func obeyed(r rune) bool {
	const lineSeparator, paragraphSeparator = 0x2028, 0x2029
	return unicode.IsControl(r) && r != '\t' || unicode.Is(unicode.Bidi_Control, r) || r == lineSeparator || r == paragraphSeparator
}

// visibleJSON is JSON with what a terminal would obey escaped: the same values
// to programs. The encoder leaves only what lies beyond ASCII, and DEL.
func visibleJSON(text []byte) []byte {
	var b []byte
	for _, r := range string(text) {
		if r != '\n' && obeyed(r) {
			b = fmt.Appendf(b, `\u%04x`, r)
		} else {
			b = utf8.AppendRune(b, r)
		}
	}
	return b
}

// warn says something beside the answer.
func (g *globals) warn(text string) { fmt.Fprintln(g.errs, "turnrow:", visible(oneLine(text))) }

// papers is where a whole document goes that is asked for on standard output:
// as it is, unless a person at a terminal would see it.
func (g *globals) papers() io.Writer {
	if !g.isTerminal() {
		return g.out
	}
	return writerFunc(func(p []byte) error {
		lines := strings.Split(string(p), "\n")
		for i, line := range lines {
			lines[i] = visible(strings.TrimSuffix(line, "\r")) // a terminal needs no CR
		}
		_, err := io.WriteString(g.out, strings.Join(lines, "\n"))
		return err
	})
}
