package rate

import (
	"fmt"

	"turnrow/sync/units"
)

// RangeError says which figure was refused, what it was and what it may be.
// It wraps units.ErrRange.
type RangeError struct {
	Quantity string // what the figure is, as in "frame area"
	Value    string // the figure as given, with its unit
	Allowed  string // what it may be, as in "more than 0"
}

// Error gives one line with the quantity, the value and the range.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s %s: it must be %s", e.Quantity, e.Value, e.Allowed)
}

// Unwrap gives units.ErrRange.
func (e *RangeError) Unwrap() error { return units.ErrRange }

// refuse makes a RangeError for a value that prints itself with its unit.
func refuse(quantity string, value any, allowed string, args ...any) error {
	return &RangeError{Quantity: quantity, Value: fmt.Sprint(value), Allowed: fmt.Sprintf(allowed, args...)}
}
