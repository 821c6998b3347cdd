package exchange

import (
	"errors"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// Reason is why a run was not taken, by its number in the schema.
type Reason int32

// The reasons, as the schema numbers them.
const (
	ReasonOther Reason = iota
	ReasonGap
	ReasonSignature
	ReasonFork
	ReasonMalformed
	ReasonBound
	ReasonStranger
)

// ErrRefused stands for a reason that this version has no error for.
var ErrRefused = errors.New("not taken")

// reasons is the one table from errors to reasons, and back: the first that
// fits counts.
var reasons = [...]struct {
	err    error
	reason Reason
}{
	{chain.ErrGap, ReasonGap},
	{entry.ErrSignature, ReasonSignature},
	{chain.ErrFork, ReasonFork},
	{ErrMalformed, ReasonMalformed},
	{chain.ErrOther, ReasonMalformed},
	{ErrBound, ReasonBound},
	{chain.ErrSize, ReasonBound},
	{ErrBudget, ReasonBound},
	{ErrRights, ReasonBound},
	{ErrStranger, ReasonStranger},
	{ErrInviteFull, ReasonStranger},
}

// ReasonOf is the reason that an error amounts to, ReasonOther where it is
// none of the named ones.
func ReasonOf(err error) Reason {
	for _, r := range reasons {
		if errors.Is(err, r.err) {
			return r.reason
		}
	}
	return ReasonOther
}

// Err is the error that a reason stands for.
func (r Reason) Err() error {
	for _, known := range reasons {
		if known.reason == r {
			return known.err
		}
	}
	return ErrRefused
}
