package wire

import (
	"encoding/hex"
	"errors"
	"strconv"
	"strings"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/protobuf/types/known/anypb"
	"google.golang.org/protobuf/types/known/durationpb"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/exchange"
)

// A failure travels as a google.rpc.Status: the code for any program, an
// ErrorInfo with a reason of the schema, by its name without the prefix, and a
// RetryInfo where the asker should wait.
const (
	domain        = "turnrow"
	reasonPrefix  = "REASON_"
	keyWall       = "wall_ms"
	keyGeneration = "generation"
)

// Status writes an error as a status. The words of one that package exchange
// does not know are not for the other side, so they stay here.
func Status(err error) *status.Status {
	var f exchange.Failure
	if got := new(exchange.Failure); errors.As(err, &got) {
		f = *got
	}
	code, reason, known := exchange.Coded(err)
	text := exchange.ErrInternal.Error()
	if known {
		text = err.Error()
	}
	info := &errdetails.ErrorInfo{Reason: reasonText(reason), Domain: domain, Metadata: map[string]string{}}
	if f.Wall != 0 {
		info.Metadata[keyWall] = strconv.FormatInt(f.Wall, 10)
	}
	if !f.Generation.IsZero() {
		info.Metadata[keyGeneration] = hex.EncodeToString(f.Generation[:])
	}
	s := &status.Status{Code: int32(code), Message: text}
	if a, err := anypb.New(info); err == nil {
		s.Details = append(s.Details, a)
	}
	if f.Retry > 0 {
		wait := &durationpb.Duration{Seconds: f.Retry / 1e3, Nanos: int32(f.Retry % 1e3 * 1e6)}
		if a, err := anypb.New(&errdetails.RetryInfo{RetryDelay: wait}); err == nil {
			s.Details = append(s.Details, a)
		}
	}
	return s
}

func reasonText(r exchange.Reason) string {
	return strings.TrimPrefix(turnrowv1.Reason(r).String(), reasonPrefix)
}

// reasonNamed is ReasonOther for a text that the schema does not have.
func reasonNamed(text string) exchange.Reason {
	return exchange.Reason(turnrowv1.Reason_value[reasonPrefix+text])
}

// Failure reads a status as the failure that it tells of, or gives nil where
// it is not one of ours: the transport's own, or a proxy's.
func Failure(s *status.Status) *exchange.Failure {
	f := &exchange.Failure{Text: s.GetMessage()}
	for _, d := range s.GetDetails() {
		m, err := d.UnmarshalNew()
		if err != nil {
			continue
		}
		switch m := m.(type) {
		case *errdetails.ErrorInfo:
			informed(f, m)
		case *errdetails.RetryInfo:
			f.Retry = m.GetRetryDelay().AsDuration().Milliseconds()
		}
	}
	if f.Err == nil {
		return nil
	}
	return f
}

func informed(f *exchange.Failure, info *errdetails.ErrorInfo) {
	if info.GetDomain() != domain {
		return
	}
	f.Err = exchange.Reasoned(reasonNamed(info.GetReason()))
	if f.Err == nil {
		f.Err = exchange.ErrInternal
	}
	if ms, err := strconv.ParseInt(info.GetMetadata()[keyWall], 10, 64); err == nil {
		f.Wall = ms
	}
	if b, err := hex.DecodeString(info.GetMetadata()[keyGeneration]); err == nil && len(b) == len(f.Generation) {
		f.Generation = exchange.Generation(b)
	}
}
