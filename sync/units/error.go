package units

import (
	"errors"
	"fmt"
	"strings"
)

// What can be wrong with a quantity. Every *Error wraps one of these.
var (
	// ErrSyntax marks text that is no quantity at all.
	ErrSyntax = errors.New("not a quantity")
	// ErrUnit marks a unit that is missing, unknown or of another quantity.
	ErrUnit = errors.New("wrong unit")
	// ErrUnclear marks text that can be read in two ways.
	ErrUnclear = errors.New("could mean two things")
	// ErrRange marks a value outside the range that the quantity allows.
	ErrRange = errors.New("out of range")
)

// Error says what is wrong with a quantity that somebody wrote or computed.
type Error struct {
	Quantity string // "mass", "rate", ...
	Text     string // the value as it was written
	Problem  string // what is wrong with it, as the rest of a sentence: "is a mass"
	Range    string // the allowed range, in a unit people use
	Example  string // a value that would do
	cause    error
}

// Error gives one line with the value, the trouble, and what is wanted.
func (e *Error) Error() string {
	span := ""
	if errors.Is(e.cause, ErrRange) {
		span = " from " + e.Range
	}
	return fmt.Sprintf("%q %s; %s%s is wanted, such as %s",
		e.Text, e.Problem, indefinite(e.Quantity), span, e.Example)
}

// indefinite puts a or an before a noun.
func indefinite(noun string) string {
	if strings.ContainsAny(noun[:1], "aeiou") {
		return "an " + noun
	}
	return "a " + noun
}

// Unwrap gives ErrSyntax, ErrUnit, ErrUnclear or ErrRange.
func (e *Error) Unwrap() error { return e.cause }
