package doorway

import (
	"errors"
	"io"
	"testing"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/encoding"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// bursting is a compressor that panics when it unpacks a message.
type bursting struct{}

func (bursting) Name() string                                 { return "bursting" }
func (bursting) Decompress(io.Reader) (io.Reader, error)      { panic("a message that bursts") }
func (bursting) Compress(w io.Writer) (io.WriteCloser, error) { return whole{w}, nil }

type whole struct{ io.Writer }

func (whole) Close() error { return nil }

func init() { encoding.RegisterCompressor(bursting{}) }

// A panic ends its call and no other, and not what serves: where the headers are
// judged, where the message is read, where it is answered.
func TestPanicEndsItsCall(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t)
		burst := func() error { panic("a mistake in the fold") }
		looked := 0 // how often a farm was looked for: a call's device is twice, and then the farm for its answer
		answering := func() error {
			if looked++; looked%3 == 0 {
				panic("a mistake in the fold")
			}
			return nil
		}
		hears := false
		s.handler.Heard = func(entry.DeviceID, chain.Frontier) {
			if hears {
				panic("a mistake in what is remembered")
			}
		}
		s.serve(use, usual)
		api, health := s.api(), healthv1.NewHealthClient(s.conn())
		exchange := func(opts ...grpc.CallOption) error { _, err := api.Exchange(s.ours(), s.ask(), opts...); return err }
		watch := func() error {
			w, err := api.Watch(s.ours(), &turnrowv1.WatchRequest{Farm: s.farm.ID[:], Have: &turnrowv1.Frontier{}})
			if err == nil {
				_, err = w.Recv()
			}
			return err
		}
		join := func() error { _, err := api.Join(soon(t), s.joins()); return err }
		for _, c := range []struct {
			name  string
			asked func() error
			hears bool
			call  func() error
		}{
			{"an exchange is judged", burst, false, func() error { return exchange() }},
			{"a watch is judged", burst, false, watch},
			{"an exchange is read", nil, false, func() error { return exchange(grpc.UseCompressor(bursting{}.Name())) }},
			{"its health is read", nil, false, func() error {
				_, err := health.Check(soon(t), &healthv1.HealthCheckRequest{Service: "any"}, grpc.UseCompressor(bursting{}.Name()))
				return err
			}},
			{"an exchange is answered", nil, true, func() error { return exchange() }},
			{"a watch is answered", answering, false, watch},
			{"who joins is answered", burst, false, join},
		} {
			s.asked, hears = c.asked, c.hears
			if err := c.call(); status.Code(err) != codes.Internal || reason(err) != "INTERNAL" {
				t.Errorf("where %s: %v", c.name, err)
			}
			s.asked, hears = nil, false
			s.works(api)
		}
		w := s.watch()
		s.note("gate open")
		if _, err := w.Recv(); err != nil && !errors.Is(err, io.EOF) {
			t.Error(err)
		}
	})
}
