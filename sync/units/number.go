package units

import (
	"math/big"
	"strings"
)

// maxText is far longer than any quantity that a person writes, and bounds the
// work that a hostile text can cause.
const maxText = 100

// spelling brings the many ways of typing one sign to a single one.
var spelling = strings.NewReplacer(
	"µ", "u", "μ", "u", "²", "2", "³", "3", "^2", "2", "^3", "3",
	"′", "'", "’", "'", "‘", "'", "″", `"`, "”", `"`, "“", `"`,
	"\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ", "−", "-", "⁄", "/",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⅙", " 1/6", "⅚", " 5/6", "⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5", "⅐", " 1/7", "⅑", " 1/9", "⅒", " 1/10",
	"\u2010", "-", "\u2011", "-", "＃", "#",
)

// plain gives the text in one spelling. Letter case stays: A is an acre, a may
// be an are.
func plain(text string) string { return strings.TrimSpace(spelling.Replace(text)) }

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

// digits counts the decimal digits that s starts with.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

// trouble is what is wrong with a number: words for people, and the error that
// it wraps.
type trouble struct {
	words string
	cause error
}

func misspelt(words string) *trouble { return &trouble{words, ErrSyntax} }

// numerals is how numbers are written.
type numerals struct {
	decimalComma bool // 7,5 is 7.5
}

// take reads the number that s starts with (1,250.5, 3/8, 1 1/2, 1-1/2)
// exactly, and gives what follows.
func (w numerals) take(s string) (value *big.Rat, rest string, bad *trouble) {
	negative := strings.HasPrefix(s, "-")
	s = strings.TrimLeft(strings.TrimPrefix(s, "-"), " ")
	value, rest, bad = w.unsigned(s)
	if bad == nil && negative {
		value.Neg(value)
	}
	return value, rest, bad
}

func (w numerals) unsigned(s string) (value *big.Rat, rest string, bad *trouble) {
	if value, rest, ok := takeFraction(s); ok {
		return fractionOnly(value, rest)
	}
	text, rest, bad := w.decimal(s)
	if bad != nil {
		return nil, s, bad
	}
	value, ok := new(big.Rat).SetString(text)
	if !ok {
		return nil, s, misspelt("has no number")
	}
	if strings.ContainsRune(text, '.') || rest == "" || (rest[0] != ' ' && rest[0] != '-') {
		return value, rest, nil
	}
	part, after, ok := takeFraction(rest[1:])
	if !ok {
		return value, rest, nil
	}
	if part == nil {
		return nil, s, misspelt("divides by zero")
	}
	return value.Add(value, part), after, nil
}

func fractionOnly(value *big.Rat, rest string) (*big.Rat, string, *trouble) {
	if value == nil {
		return nil, rest, misspelt("divides by zero")
	}
	return value, rest, nil
}

// takeFraction reads digits/digits; the value is nil where it divides by zero.
func takeFraction(s string) (value *big.Rat, rest string, ok bool) {
	top := digits(s)
	if top == 0 || top >= len(s) || s[top] != '/' {
		return nil, s, false
	}
	bottom := digits(s[top+1:])
	if bottom == 0 {
		return nil, s, false
	}
	end := top + 1 + bottom
	// Base 10 is named, since a leading zero would otherwise mean octal.
	over, _ := new(big.Int).SetString(s[:top], 10)
	under, _ := new(big.Int).SetString(s[top+1:end], 10)
	if under.Sign() == 0 {
		return nil, s[end:], true
	}
	return new(big.Rat).SetFrac(over, under), s[end:], true
}

// decimal reads digits with thousands commas and a decimal point, or with a
// decimal comma where that is how numbers are written. It gives them without
// the commas.
func (w numerals) decimal(s string) (text, rest string, bad *trouble) {
	if w.decimalComma {
		if text, rest, bad := takeComma(s); text != "" || bad != nil {
			return text, rest, bad
		}
	}
	lead := digits(s)
	text, rest = s[:lead], s[lead:]
	for strings.HasPrefix(rest, ",") {
		if !partsThousands(s[:lead], rest) {
			return "", s, misspelt("has a comma that does not part thousands (a decimal is written 7.5)")
		}
		text, rest = text+rest[1:4], rest[4:]
	}
	if strings.HasPrefix(rest, ".") && digits(rest[1:]) > 0 {
		n := 1 + digits(rest[1:])
		text, rest = text+rest[:n], rest[n:]
	}
	if text == "" {
		return "", s, misspelt("has no number")
	}
	return withZero(text), rest, stray(rest)
}

// partsThousands reports whether the comma that rest starts with can stand
// between thousands.
func partsThousands(lead, rest string) bool {
	return digits(rest[1:]) == 3 && lead != "" && len(lead) <= 3 && lead[0] != '0'
}

// takeComma reads a number whose one comma can only be a decimal one. It gives
// nothing where no comma stands or where commas part thousands for certain, and
// refuses one that could be either.
func takeComma(s string) (text, rest string, bad *trouble) {
	lead := digits(s)
	if lead >= len(s) || s[lead] != ',' || digits(s[lead+1:]) == 0 {
		return "", s, nil
	}
	end := lead + 1 + digits(s[lead+1:])
	text, rest = s[:lead]+"."+s[lead+1:end], s[end:]
	if !partsThousands(s[:lead], s[lead:]) {
		return withZero(text), rest, stray(rest)
	}
	if rest != "" && (rest[0] == ',' || rest[0] == '.' && digits(rest[1:]) > 0) {
		return "", s, nil
	}
	return "", s, &trouble{"could be " + s[:lead] + s[lead+1:end] + " or " + text + " (write it without a comma)", ErrUnclear}
}

func withZero(text string) string {
	if strings.HasPrefix(text, ".") {
		return "0" + text
	}
	return text
}

func stray(rest string) *trouble {
	if rest != "" && (rest[0] == ',' || rest[0] == '.' && digits(rest[1:]) > 0) {
		return misspelt("has a number with stray points or commas")
	}
	return nil
}
