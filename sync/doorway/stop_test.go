package doorway

import (
	"errors"
	"net"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/wire"
)

// ends is how serving ends, which must be soon.
func (s *served) ends() error {
	s.t.Helper()
	select {
	case err := <-s.ended:
		return err
	case <-time.After(patience):
		s.t.Fatal("serving goes on")
		return nil
	}
}

// When serving ends, who watches is told to come back, and who asks for its
// health that it ends.
func TestStopTellsWhoListens(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t).serve(use, usual)
		w := s.watch()
		h, err := healthv1.NewHealthClient(s.conn()).Watch(soon(t), &healthv1.HealthCheckRequest{Service: servicev1.ExchangeService_ServiceDesc.ServiceName})
		if err != nil {
			t.Fatal(err)
		}
		if r, err := h.Recv(); err != nil || r.GetStatus() != healthv1.HealthCheckResponse_SERVING {
			t.Errorf("health: %v, %v", r, err)
		}
		s.stop()
		if r, err := h.Recv(); err != nil || r.GetStatus() != healthv1.HealthCheckResponse_NOT_SERVING {
			t.Errorf("health at the end: %v, %v", r, err)
		}
		if _, err := w.Recv(); status.Code(err) != codes.Unavailable || reason(err) != "BUSY" || retry(err) <= 0 {
			t.Errorf("the watch ended with %v", err)
		}
	})
}

// A connection that says nothing does not hold up the end, whether it has
// introduced itself or not.
func TestSilentConnectionsDoNotHoldUpTheEnd(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		use.Grace = time.Hour
		long := usual
		long.handshake = time.Hour
		s := prepared(t).serve(use, long)
		mute, err := net.Dial("tcp", s.here)
		if err != nil {
			t.Fatal(err)
		}
		defer mute.Close()
		dialled(t, s.here) // no HTTP/2 preface follows
		s.works(s.api())
		s.stop()
		if err := s.ends(); err != nil {
			t.Error(err)
		}
	})
}

// Serving does not end before the calls that it answers: what they use is closed
// after it. Who asked waits no longer than the grace.
func TestRunningCallsAreWaitedFor(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		use.Grace = time.Millisecond
		s := prepared(t)
		reached, goOn := make(chan struct{}), make(chan struct{})
		s.asked = func() error {
			select {
			case <-goOn:
			case reached <- struct{}{}:
				<-goOn
			}
			return nil
		}
		s.serve(use, usual)
		answered := make(chan error, 1)
		api := s.api()
		go func() {
			_, err := api.Join(soon(t), s.joins())
			answered <- err
		}()
		<-reached
		s.stop()
		if err := <-answered; status.Code(err) != codes.Unavailable {
			t.Errorf("who asked is told %v", err)
		}
		select {
		case err := <-s.ended:
			t.Errorf("serving ended (%v) while a call was being answered", err)
		default:
		}
		close(goOn)
		if err := s.ends(); err != nil {
			t.Error(err)
		}
	})
}

// joins asks to join with the owner's log, which is let in.
func (s *served) joins() *turnrowv1.JoinRequest { return wire.JoinOut(s.farm.ID, s.farm.Start[0], "") }

// failing is a listener that fails when it is told to.
type failing struct {
	net.Listener
	fail chan error
}

func (l *failing) Accept() (net.Conn, error) {
	type accepted struct {
		c   net.Conn
		err error
	}
	in := make(chan accepted, 1)
	go func() { c, err := l.Listener.Accept(); in <- accepted{c, err} }()
	select {
	case a := <-in:
		return a.c, a.err
	case err := <-l.fail:
		return nil, err
	}
}

// A listener that fails ends the serving, and what it had begun: nobody goes on
// answering for what its caller then closes.
func TestListenerThatFailsEndsAll(t *testing.T) {
	eachUse(t, func(t *testing.T, use Use) {
		s := prepared(t)
		lis, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		fails := &failing{lis, make(chan error, 1)}
		s.lis = fails
		s.serve(use, usual)
		w := s.watch()
		broken := errors.New("the network card is gone")
		fails.fail <- broken
		if err := s.ends(); !errors.Is(err, broken) {
			t.Errorf("serving ended with %v", err)
		}
		if _, err := w.Recv(); status.Code(err) != codes.Unavailable {
			t.Errorf("a watch goes on: %v", err)
		}
	})
}
