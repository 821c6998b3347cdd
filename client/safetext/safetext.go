// Package safetext keeps what people write down from being obeyed where it is
// shown. A terminal obeys control characters (ECMA-48), and whatever shows text
// puts it in another order after bidirectional controls (Unicode Standard Annex
// 9): with either, a note could overwrite the lines around it, or read as what
// it is not. So they are refused when something is written, and of others'
// records they are shown, not sent.
package safetext

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"turnrow/sync/entry"
)

// Error reports a text that may not be written, since it holds a character that
// whatever shows it may obey.
type Error struct {
	Text string
	Char rune
}

func (e *Error) Error() string {
	return fmt.Sprintf("\"%s\" holds the control character %s: type it again without it", Line(e.Text), Line(string(e.Char)))
}

// Check says whether a text may be written: it holds nothing that is obeyed but
// tabs and ends of lines.
func Check(text string) error {
	for _, r := range text {
		if r != '\n' && Obeyed(r) {
			return &Error{text, r}
		}
	}
	return nil
}

// CheckBody is Check of all that a body says in words.
func CheckBody(b entry.Body) error {
	var t texts
	b.Fields(&t)
	return t.err
}

// Obeyed says whether what shows a text may do something else with a character
// than show it in its place.
func Obeyed(r rune) bool {
	const lineSeparator, paragraphSeparator = 0x2028, 0x2029
	return unicode.IsControl(r) && r != '\t' || unicode.Is(unicode.Bidi_Control, r) || r == lineSeparator || r == paragraphSeparator
}

// Line is a text of one line with what would be obeyed written out, as \u001b or
// \u202e.
func Line(text string) string {
	if strings.IndexFunc(text, Obeyed) < 0 && utf8.ValidString(text) {
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
		case Obeyed(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteString(text[:n])
		}
		text = text[n:]
	}
	return b.String()
}

// Lines is a text of several lines, each as Line has it.
func Lines(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return r != '\n' && Obeyed(r) }) < 0 && utf8.ValidString(text) {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = Line(l)
	}
	return strings.Join(lines, "\n")
}

// JSON is JSON with what would be obeyed escaped: the same values to programs.
// An encoder leaves only what lies beyond ASCII, and DEL.
func JSON(text []byte) []byte {
	var b []byte
	for _, r := range string(text) {
		if r != '\n' && Obeyed(r) {
			b = fmt.Appendf(b, `\u%04x`, r)
		} else {
			b = utf8.AppendRune(b, r)
		}
	}
	return b
}

// texts is an entry.Fields that checks every text.
type texts struct{ err error }

func (t *texts) check(text string) {
	if t.err == nil {
		t.err = Check(text)
	}
}

func (t *texts) Int(int, *int64)                         {}
func (t *texts) Uint(int, *uint64)                       {}
func (t *texts) Bytes(int, *[]byte)                      {}
func (t *texts) Ref(int, *entry.ID)                      {}
func (t *texts) OptInt(int, *bool, *int64)               {}
func (t *texts) Ints(int, int, func(), func(int) *int64) {}
func (t *texts) Refs(int, *[]entry.ID)                   {}
func (t *texts) Text(_ int, v *string)                   { t.check(*v) }
func (t *texts) OptText(_ int, set *bool, v *string)     { t.check(*v) }
func (t *texts) Texts(_ int, v *[]string) {
	for _, s := range *v {
		t.check(s)
	}
}

func (t *texts) Body(_ int, b entry.Body) entry.Body {
	if b != nil {
		b.Fields(t)
	}
	return b
}

func (t *texts) Group(_ int, n int, _ func(), item func(int, entry.Fields)) {
	for i := range n {
		item(i, t)
	}
}
