package doorway

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	reflectionv1 "google.golang.org/grpc/reflection/grpc_reflection_v1"
	"google.golang.org/grpc/status"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/exchange"
)

// Each error that crosses the wire does so by its code and its reason, with what
// helps whoever asked; of any other, no word leaves.
func TestEachErrorHasItsStatus(t *testing.T) {
	secret := errors.New("/home/ada/farm: the disk is on fire")
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t)
		var gives error
		s.asked = func() error { return gives }
		s.serve(use, usual)
		api := s.api()
		for _, c := range []struct {
			err    error
			code   codes.Code
			reason string
		}{
			{exchange.ErrTokenTime, codes.Unauthenticated, "TOKEN_TIME"},
			{exchange.ErrAudience, codes.Unauthenticated, "TOKEN_AUDIENCE"},
			{exchange.ErrToken, codes.Unauthenticated, "TOKEN"},
			{exchange.ErrStranger, codes.Unauthenticated, "STRANGER"},
			{exchange.ErrWaiting, codes.PermissionDenied, "WAITING"},
			{exchange.ErrKeptOut, codes.PermissionDenied, "KEPT_OUT"},
			{exchange.ErrForbidden, codes.PermissionDenied, "OTHER_FARM"},
			{exchange.ErrStopped, codes.PermissionDenied, "STOPPED"},
			{exchange.ErrFarm, codes.NotFound, "FARM"},
			{exchange.ErrFounding, codes.PermissionDenied, "FOUNDING"},
			{exchange.ErrInviteFull, codes.PermissionDenied, "INVITE_FULL"},
			{exchange.ErrInviteOver, codes.PermissionDenied, "INVITE_OVER"},
			{exchange.ErrInvite, codes.PermissionDenied, "INVITE"},
			{exchange.ErrProof, codes.PermissionDenied, "PROOF"},
			{exchange.ErrFork, codes.FailedPrecondition, "FORK"},
			{exchange.ErrMalformed, codes.InvalidArgument, "MALFORMED"},
			{exchange.ErrBudget, codes.ResourceExhausted, "BUDGET"},
			{exchange.ErrRights, codes.ResourceExhausted, "RIGHTS_BUDGET"},
			{exchange.ErrBound, codes.ResourceExhausted, "BOUND"},
			{exchange.ErrBusy, codes.Unavailable, "BUSY"},
			{exchange.ErrStorage, codes.Unavailable, "STORAGE"},
			{exchange.ErrInternal, codes.Internal, "INTERNAL"},
			{secret, codes.Internal, "INTERNAL"},
		} {
			gives = fmt.Errorf("%w: here is why", c.err)
			_, joining := api.Join(soon(t), s.joins())   // as the answer is made
			_, judged := api.Exchange(s.ours(), s.ask()) // as the headers are judged
			for _, err := range []error{joining, judged} {
				if status.Code(err) != c.code || reason(err) != c.reason {
					t.Errorf("%v is told as %v, %q", c.err, err, reason(err))
				}
				if (retry(err) > 0) != (c.code == codes.Unavailable) {
					t.Errorf("%v asks to wait %v", c.err, retry(err))
				}
				if told := strings.Contains(err.Error(), "here is why"); told == (c.code == codes.Internal) {
					t.Errorf("%v is told as %q", c.err, err)
				}
				if info := details(err); info.GetDomain() != "turnrow" || info.GetMetadata()["wall_ms"] == "" || info.GetMetadata()["generation"] == "" {
					t.Errorf("%v is told with %v", c.err, info)
				}
			}
		}
		gives = nil
		s.works(api)
	})
}

// details are what an error tells programs.
func details(err error) *errdetails.ErrorInfo {
	for _, d := range status.Convert(err).Details() {
		if info, ok := d.(*errdetails.ErrorInfo); ok {
			return info
		}
	}
	return nil
}

// What needs no token is answered without: health, and at a server the schema.
// What is not there is told so.
func TestWhatNeedsNoToken(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		cc := s.conn()
		for _, name := range []string{"", "turnrow.service.v1.ExchangeService"} {
			r, err := healthv1.NewHealthClient(cc).Check(soon(t), &healthv1.HealthCheckRequest{Service: name})
			if err != nil || r.GetStatus() != healthv1.HealthCheckResponse_SERVING {
				t.Errorf("health of %q: %v, %v", name, r.GetStatus(), err)
			}
		}
		stream, err := reflectionv1.NewServerReflectionClient(cc).ServerReflectionInfo(soon(t))
		if err != nil {
			t.Fatal(err)
		}
		ask := &reflectionv1.ServerReflectionRequest{MessageRequest: &reflectionv1.ServerReflectionRequest_ListServices{}}
		_ = stream.Send(ask) // where it fails, receiving says why
		r, err := stream.Recv()
		switch {
		case !use.Reflects:
			if status.Code(err) != codes.Unimplemented {
				t.Errorf("the schema: %v, %v", r, err)
			}
		case err != nil || !strings.Contains(r.String(), "turnrow.service.v1.ExchangeService"):
			t.Errorf("the schema: %v, %v", r, err)
		}
		if err := cc.Invoke(s.ours(), "/turnrow.service.v1.ExchangeService/Erase", s.ask(), new(turnrowv1.ExchangeResponse)); status.Code(err) != codes.Unimplemented {
			t.Errorf("a call that is not there: %v", err)
		}
	})
}
