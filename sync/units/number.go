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
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅓", " 1/3", "⅔", " 2/3",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
)

func plain(text string) string {
	return strings.TrimSpace(strings.ToLower(spelling.Replace(text)))
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// digits counts the decimal digits that s starts with.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

// takeNumber reads the number that s starts with (1,250.5, 3/8, 1 1/2, 1-1/2)
// exactly, and gives what follows. The string is the trouble, if any.
func takeNumber(s string) (value *big.Rat, rest, problem string) {
	negative := strings.HasPrefix(s, "-")
	s = strings.TrimLeft(strings.TrimPrefix(s, "-"), " ")
	value, rest, problem = takeUnsigned(s)
	if problem == "" && negative {
		value.Neg(value)
	}
	return value, rest, problem
}

func takeUnsigned(s string) (value *big.Rat, rest, problem string) {
	if value, rest, ok := takeFraction(s); ok {
		return fractionOnly(value, rest)
	}
	text, rest, problem := takeDecimal(s)
	if problem != "" {
		return nil, s, problem
	}
	value, ok := new(big.Rat).SetString(text)
	if !ok {
		return nil, s, "has no number"
	}
	if strings.ContainsRune(text, '.') || rest == "" || (rest[0] != ' ' && rest[0] != '-') {
		return value, rest, ""
	}
	part, after, ok := takeFraction(rest[1:])
	if !ok {
		return value, rest, ""
	}
	if part == nil {
		return nil, s, "divides by zero"
	}
	return value.Add(value, part), after, ""
}

func fractionOnly(value *big.Rat, rest string) (*big.Rat, string, string) {
	if value == nil {
		return nil, rest, "divides by zero"
	}
	return value, rest, ""
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

// takeDecimal reads digits with thousands commas and a decimal point, and
// gives them without the commas.
func takeDecimal(s string) (text, rest, problem string) {
	lead := digits(s)
	text, rest = s[:lead], s[lead:]
	for strings.HasPrefix(rest, ",") {
		group := digits(rest[1:])
		if group != 3 || lead == 0 || lead > 3 || s[0] == '0' {
			return "", s, "has a comma that does not part thousands (a decimal is written 7.5)"
		}
		text, rest = text+rest[1:4], rest[4:]
	}
	if strings.HasPrefix(rest, ".") && digits(rest[1:]) > 0 {
		n := 1 + digits(rest[1:])
		text, rest = text+rest[:n], rest[n:]
	}
	if text == "" {
		return "", s, "has no number"
	}
	if strings.HasPrefix(text, ".") {
		text = "0" + text
	}
	if rest != "" && (rest[0] == ',' || rest[0] == '.' && digits(rest[1:]) > 0) {
		return "", s, "has a number with stray points or commas"
	}
	return text, rest, ""
}
