package exchange

import "errors"

// Reason is why a call failed, or why a run was not taken, by its number in the
// schema. A failed call carries the schema's name of it, a refused run the number.
type Reason int32

// The reasons, as the schema numbers them. It says of each what to do.
const (
	ReasonOther Reason = iota
	ReasonGap
	ReasonSignature
	ReasonFork
	ReasonMalformed
	ReasonBound
	ReasonStranger
	// Those below are told of calls alone: the first versions know no others of runs.
	ReasonToken
	ReasonTokenTime
	ReasonAudience
	ReasonWaiting
	ReasonKeptOut
	ReasonForbidden
	ReasonStopped
	ReasonFarm
	ReasonFounding
	ReasonInvite
	ReasonInviteFull
	ReasonInviteOver
	ReasonProof
	ReasonBudget
	ReasonRights
	ReasonBusy
	ReasonStorage
	ReasonInternal
	lastOfRuns = ReasonStranger
)

// ErrRefused stands for a reason that this version has no error for.
var ErrRefused = errors.New("not taken")

// ReasonOf is the reason that an error amounts to where a run was not taken,
// ReasonOther where it is none that runs are refused for.
func ReasonOf(err error) Reason {
	switch _, r, _ := Coded(err); {
	case r == ReasonBudget, r == ReasonRights:
		return ReasonBound
	case r == ReasonInviteFull:
		return ReasonStranger
	case r <= lastOfRuns:
		return r
	}
	return ReasonOther
}

// Err is the error that a refused run's reason stands for.
func (r Reason) Err() error {
	if err := Reasoned(r); err != nil && r <= lastOfRuns {
		return err
	}
	return ErrRefused
}
