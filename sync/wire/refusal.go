package wire

import (
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// refused is a refusal's error as it came over the wire: the other side's
// words, over the error that its reason stands for.
type refused struct {
	text string
	err  error
}

func (e *refused) Error() string { return e.text }
func (e *refused) Unwrap() error { return e.err }

func refusals(ms []*turnrowv1.Refusal) ([]exchange.Refusal, error) {
	var rs []exchange.Refusal
	for _, m := range ms {
		if err := sized("device", m.GetDevice(), 16); err != nil {
			return nil, err
		}
		rs = append(rs, exchange.Refusal{
			Device: entry.DeviceID(m.GetDevice()), First: m.GetFirst(),
			Err: &refused{m.GetWhy(), exchange.Reason(m.GetReason()).Err()},
		})
	}
	return rs, nil
}

func refusalsOut(rs []exchange.Refusal) []*turnrowv1.Refusal {
	var ms []*turnrowv1.Refusal
	for i := range rs {
		r := &rs[i]
		ms = append(ms, &turnrowv1.Refusal{
			Device: r.Device[:], First: r.First, Why: r.Err.Error(),
			Reason: turnrowv1.Reason(exchange.ReasonOf(r.Err)),
		})
	}
	return ms
}
