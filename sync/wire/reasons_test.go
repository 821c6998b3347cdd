package wire_test

import (
	"errors"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// told is the text by which a failed call has told of each error since the first
// version that did: older devices know no other.
var told = map[string]error{
	"GAP": chain.ErrGap, "SIGNATURE": entry.ErrSignature, "FORK": exchange.ErrFork, "MALFORMED": exchange.ErrMalformed,
	"BOUND": exchange.ErrBound, "STRANGER": exchange.ErrStranger, "TOKEN": exchange.ErrToken,
	"TOKEN_TIME": exchange.ErrTokenTime, "TOKEN_AUDIENCE": exchange.ErrAudience, "WAITING": exchange.ErrWaiting,
	"KEPT_OUT": exchange.ErrKeptOut, "OTHER_FARM": exchange.ErrForbidden, "STOPPED": exchange.ErrStopped,
	"FARM": exchange.ErrFarm, "FOUNDING": exchange.ErrFounding, "INVITE": exchange.ErrInvite,
	"INVITE_FULL": exchange.ErrInviteFull, "INVITE_OVER": exchange.ErrInviteOver, "PROOF": exchange.ErrProof,
	"BUDGET": exchange.ErrBudget, "RIGHTS_BUDGET": exchange.ErrRights, "BUSY": exchange.ErrBusy,
	"STORAGE": exchange.ErrStorage, "INTERNAL": exchange.ErrInternal,
}

// The schema's reasons and the texts of failed calls are one to one, and each
// comes back as the error that it was.
func TestReasonsAreTheSchemas(t *testing.T) {
	for text, err := range told {
		s := wire.Status(err)
		var info errdetails.ErrorInfo
		if e := s.GetDetails()[0].UnmarshalTo(&info); e != nil || info.GetReason() != text {
			t.Errorf("%v goes as %q, %v: want %q", err, info.GetReason(), e, text)
		}
		if _, ok := turnrowv1.Reason_value["REASON_"+text]; !ok {
			t.Errorf("the schema has no reason %s", text)
		}
		if got := wire.Failure(s); got == nil || !errors.Is(got, err) {
			t.Errorf("%s comes back as %v", text, got)
		}
	}
	if n := len(turnrowv1.Reason_name); n != len(told)+1 {
		t.Errorf("the schema has %d reasons, and %d texts go over the wire", n-1, len(told))
	}
}

// A run is refused by the first six reasons alone, which is all that older
// devices know of runs; another number is nothing that this one would act on.
func TestRunsAreRefusedByTheFirstReasons(t *testing.T) {
	for text, err := range told {
		want := turnrowv1.Reason_value["REASON_"+text]
		switch text {
		case "BUDGET", "RIGHTS_BUDGET":
			want = int32(turnrowv1.Reason_REASON_BOUND)
		case "INVITE_FULL":
			want = int32(turnrowv1.Reason_REASON_STRANGER)
		}
		if want > int32(turnrowv1.Reason_REASON_STRANGER) {
			want = 0
		}
		if got := exchange.ReasonOf(err); int32(got) != want {
			t.Errorf("a run that is not taken for %v has reason %d: want %d", err, got, want)
		}
	}
	if err := exchange.ReasonStopped.Err(); !errors.Is(err, exchange.ErrRefused) {
		t.Errorf("a run's refusal passes for %v", err)
	}
}
