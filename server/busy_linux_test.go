package server_test

import (
	"flag"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/token"
	"turnrow/sync/wire"
)

var busy = flag.Int("busy", 8, "devices of TestBusyDevices, 100 at most")

// joinsByHand is a device that joins without a client, and so without a store.
func joinsByHand(t *testing.T, srv *server.Server, owner phone, n int) *hostile {
	t.Helper()
	invite, err := owner.Invite(within(t), "Olga", entry.Operator)
	if err != nil {
		t.Fatal(err)
	}
	level(t, owner)
	w := newWriter(t, owner.ID(), byte(n))
	run := w.enrols(secretOf(t, invite))
	api := service(t, srv)
	if _, err := api.Join(within(t), wire.JoinOut(owner.ID(), run, "")); err != nil {
		t.Fatal(err)
	}
	return &hostile{writer: w, srv: srv, api: api}
}

// Many devices write and exchange at once, each on a connection of its own:
// what was not sent away is stored, and comes to the owner.
func TestBusyDevices(t *testing.T) {
	const rounds = 20
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	farm, here := ada.ID(), audience(t, srv)
	var crew []*hostile
	for n := range *busy {
		crew = append(crew, joinsByHand(t, srv, ada, n+1))
	}
	var all sync.WaitGroup
	var away atomic.Int64
	began, used := time.Now(), cpu()
	for _, h := range crew {
		text, err := token.Sign(h.writer.key, token.Caller{Farm: farm, Device: h.head.Log.Device()}, here, began)
		if err != nil {
			t.Fatal(err)
		}
		ctx := with(t.Context(), text)
		all.Go(func() {
			for range rounds {
				run := h.write(nil, &entry.Noted{Text: "all well"})
				for {
					_, err := h.api.Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}, Runs: wire.RunsOut([]entry.Run{run})})
					if err == nil {
						break
					}
					if status.Code(err) != codes.Unavailable || wait(err) == 0 {
						t.Error(err)
						return
					}
					away.Add(1) // and again at once, as a device that does not obey
				}
			}
		})
	}
	all.Wait()
	t.Logf("%d devices, %d exchanges each: %v, CPU of both ends %v, %d sent away", *busy, rounds, time.Since(began).Round(time.Millisecond), cpu()-used, away.Load())
	level(t, ada)
	for _, h := range crew {
		if seq := ada.Digest().Frontier.Seq(h.head.Log); seq != rounds+1 {
			t.Errorf("%d of %d entries came to the owner", seq, rounds+1)
		}
	}
}

// cpu is the processor time that this process has used.
func cpu() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u) // fails for a wrong argument only
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
