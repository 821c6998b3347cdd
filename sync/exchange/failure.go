package exchange

import (
	"errors"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// The errors that cross the wire. Each is a thing that the other side can act
// on; what else goes wrong at a replica stays in its own log.
var (
	ErrToken      = errors.New("no token that this farm's device signed")
	ErrTokenTime  = errors.New("token is not of this time")
	ErrAudience   = errors.New("token was made for another server")
	ErrStranger   = errors.New("the record does not know the device")
	ErrWaiting    = errors.New("the device waits to be let in")
	ErrKeptOut    = errors.New("an owner did not let the device in")
	ErrForbidden  = errors.New("the device belongs to another farm")
	ErrStopped    = errors.New("the device has been stopped")
	ErrFarm       = errors.New("the farm is not kept here")
	ErrFounding   = errors.New("founding code is wrong, used or out of date")
	ErrInvite     = errors.New("the record holds no such invite")
	ErrInviteFull = errors.New("too many wait on this invite: ask for a new one")
	ErrInviteOver = errors.New("invite has run out")
	ErrProof      = errors.New("enrolment does not carry the invite's signature")
	ErrFork       = chain.ErrFork
	ErrMalformed  = errors.New("malformed message")
	ErrBound      = errors.New("over a bound")
	ErrBusy       = errors.New("too busy now")
	ErrStorage    = errors.New("cannot store now")
	ErrInternal   = errors.New("something went wrong there")
)

// Code is a canonical status code of remote procedure calls, by its number in
// google.rpc.Code.
type Code uint32

// The codes in use.
const (
	CodeInvalidArgument    Code = 3
	CodeNotFound           Code = 5
	CodePermissionDenied   Code = 7
	CodeResourceExhausted  Code = 8
	CodeFailedPrecondition Code = 9
	CodeInternal           Code = 13
	CodeUnavailable        Code = 14
	CodeUnauthenticated    Code = 16
)

// failures is the one table from errors to status codes and reasons, and from
// reasons back. The first that fits counts.
var failures = [...]struct {
	err    error
	code   Code
	reason Reason
}{
	{ErrTokenTime, CodeUnauthenticated, ReasonTokenTime},
	{ErrAudience, CodeUnauthenticated, ReasonAudience},
	{ErrToken, CodeUnauthenticated, ReasonToken},
	{ErrStranger, CodeUnauthenticated, ReasonStranger},
	{ErrWaiting, CodePermissionDenied, ReasonWaiting},
	{ErrKeptOut, CodePermissionDenied, ReasonKeptOut},
	{ErrForbidden, CodePermissionDenied, ReasonForbidden},
	{ErrStopped, CodePermissionDenied, ReasonStopped},
	{ErrFarm, CodeNotFound, ReasonFarm},
	{ErrFounding, CodePermissionDenied, ReasonFounding},
	{ErrInviteFull, CodePermissionDenied, ReasonInviteFull},
	{ErrInviteOver, CodePermissionDenied, ReasonInviteOver},
	{ErrInvite, CodePermissionDenied, ReasonInvite},
	{ErrProof, CodePermissionDenied, ReasonProof},
	{chain.ErrGap, CodeFailedPrecondition, ReasonGap},
	{entry.ErrSignature, CodeInvalidArgument, ReasonSignature},
	{ErrFork, CodeFailedPrecondition, ReasonFork},
	{ErrMalformed, CodeInvalidArgument, ReasonMalformed},
	{chain.ErrOther, CodeInvalidArgument, ReasonMalformed},
	{ErrBudget, CodeResourceExhausted, ReasonBudget},
	{ErrRights, CodeResourceExhausted, ReasonRights},
	{ErrBound, CodeResourceExhausted, ReasonBound},
	{chain.ErrSize, CodeResourceExhausted, ReasonBound},
	{ErrBusy, CodeUnavailable, ReasonBusy},
	{ErrStorage, CodeUnavailable, ReasonStorage},
	{ErrInternal, CodeInternal, ReasonInternal},
}

// Failure is an error on its way over the wire, with what helps the asker.
type Failure struct {
	Err        error      // one of this package's errors
	Text       string     // the whole of it in words
	Wall       int64      // the answerer's wall clock, ms since 1970; 0 where it does not matter
	Retry      int64      // ms to wait before asking again; 0 leaves it to the asker
	Generation Generation // the answerer's; zero where it does not matter
}

// Error is the failure in words.
func (f *Failure) Error() string { return f.Text }

// Unwrap is the error of this package.
func (f *Failure) Unwrap() error { return f.Err }

// Coded is the status code and the reason of an error. One that the table does
// not know is internal: its words are for the log of whoever met it, and known
// is false.
func Coded(err error) (code Code, reason Reason, known bool) {
	for _, f := range failures {
		if errors.Is(err, f.err) {
			return f.code, f.reason, f.err != ErrInternal
		}
	}
	return CodeInternal, ReasonInternal, false
}

// Reasoned is the error that a failed call's reason stands for, or nil.
func Reasoned(reason Reason) error {
	for _, f := range failures {
		if f.reason == reason {
			return f.err
		}
	}
	return nil
}
