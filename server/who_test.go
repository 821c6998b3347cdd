package server_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/entry"
)

// Who may call what: every call that takes a token, by every kind of caller.
func TestWhoMayCall(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada, eve := founder(t, srv), founder(t, srv)
	crew := map[string]phone{
		"viewer":   joined(t, ada, "Vera", entry.Viewer),
		"helper":   joined(t, ada, "Hugo", entry.Helper),
		"operator": joined(t, ada, "Olga", entry.Operator),
	}
	lost := joined(t, ada, "Ben", entry.Operator)
	stopped(t, ada, lost)
	level(t, ada)
	gone := joined(t, ada, "Gus", entry.Operator)
	level(t, ada)
	memberStopped(t, ada, "Gus")

	here, farm, now := audience(t, srv), ada.Farm(), time.Now()
	stranger := phone{ada.Client, ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, 32))}
	cases := []struct {
		name, token string
		farm        entry.FarmID
		want        codes.Code
		reason      string
	}{
		{"owner", ada.token(t, farm, here, now), farm, codes.OK, ""},
		{"viewer", crew["viewer"].token(t, farm, here, now), farm, codes.OK, ""},
		{"helper", crew["helper"].token(t, farm, here, now), farm, codes.OK, ""},
		{"operator", crew["operator"].token(t, farm, here, now), farm, codes.OK, ""},
		{"no token", "", farm, codes.Unauthenticated, "TOKEN"},
		{"words for a token", "open sesame", farm, codes.Unauthenticated, "TOKEN"},
		{"signed by another key", stranger.token(t, farm, here, now), farm, codes.Unauthenticated, "TOKEN"},
		{"expired", ada.token(t, farm, here, now.Add(-time.Hour)), farm, codes.Unauthenticated, "TOKEN_TIME"},
		{"not yet", ada.token(t, farm, here, now.Add(time.Hour)), farm, codes.Unauthenticated, "TOKEN_TIME"},
		{"for another server", ada.token(t, farm, "00", now), farm, codes.Unauthenticated, "TOKEN_AUDIENCE"},
		{"other farm's device, its own token", eve.token(t, eve.Farm(), here, now), farm, codes.PermissionDenied, "OTHER_FARM"},
		{"other farm's device, a token for this one", eve.token(t, farm, here, now), farm, codes.PermissionDenied, "OTHER_FARM"},
		{"a farm that is not here", ada.token(t, entry.FarmID{1}, here, now), entry.FarmID{1}, codes.NotFound, "FARM"},
		{"stopped device", lost.token(t, farm, here, now), farm, codes.PermissionDenied, "STOPPED"},
		{"stopped member's device", gone.token(t, farm, here, now), farm, codes.PermissionDenied, "STOPPED"},
	}
	api := service(t, srv)
	calls := map[string]func(ctx context.Context, farm entry.FarmID) error{
		"Exchange": func(ctx context.Context, farm entry.FarmID) error {
			_, err := api.Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}})
			return err
		},
		"Watch": func(ctx context.Context, farm entry.FarmID) error {
			stream, err := api.Watch(ctx, &turnrowv1.WatchRequest{Farm: farm[:], Have: &turnrowv1.Frontier{}})
			if err == nil {
				_, err = stream.Recv()
			}
			return err
		},
	}
	for method, call := range calls {
		for _, c := range cases {
			t.Run(method+"/"+c.name, func(t *testing.T) {
				ctx, cancel := context.WithCancel(within(t))
				defer cancel()
				err := call(with(ctx, c.token), c.farm)
				if got := status.Code(err); got != c.want || reason(err) != c.reason {
					t.Errorf("%v, reason %q; want %s, %q", err, reason(err), c.want, c.reason)
				}
			})
		}
	}
}

// reason is what an error's details say for programs.
func reason(err error) string {
	for _, d := range status.Convert(err).Details() {
		if info, ok := d.(*errdetails.ErrorInfo); ok && info.GetDomain() == "turnrow" {
			return info.GetReason()
		}
	}
	return ""
}

func memberStopped(t *testing.T, owner phone, name string) {
	t.Helper()
	for _, m := range owner.View().Crew {
		if m.Name == name {
			if _, err := owner.Record(within(t), entry.ID{}, &entry.MemberStopped{Member: m.ID, Why: "left"}); err != nil {
				t.Fatal(err)
			}
			level(t, owner)
			return
		}
	}
	t.Fatalf("no %s in the crew", name)
}

// Malformed messages are told so, whoever sends them.
func TestMalformedCalls(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	api := service(t, srv)
	farm := ada.Farm()
	device := ada.Device()
	ctx := with(within(t), ada.token(t, farm, audience(t, srv), time.Now()))
	frontier := func(hs ...*turnrowv1.Head) *turnrowv1.Frontier { return &turnrowv1.Frontier{Heads: hs} }
	head := &turnrowv1.Head{Device: device[:], Seq: 1, Hash: make([]byte, 8)}
	for name, m := range map[string]*turnrowv1.ExchangeRequest{
		"no farm":               {},
		"farm of 15 bytes":      {Farm: farm[:15]},
		"device of no bytes":    {Farm: farm[:], Have: frontier(&turnrowv1.Head{Seq: 1, Hash: make([]byte, 8)})},
		"device twice":          {Farm: farm[:], Have: frontier(head, head)},
		"run without signature": {Farm: farm[:], Runs: []*turnrowv1.Run{{Device: device[:], First: 1}}},
		"generation of 3 bytes": {Farm: farm[:], Generation: []byte("abc")},
	} {
		if _, err := api.Exchange(ctx, m); status.Code(err) != codes.InvalidArgument || reason(err) != "MALFORMED" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := api.Join(ctx, &turnrowv1.JoinRequest{Farm: farm[:]}); status.Code(err) != codes.InvalidArgument {
		t.Errorf("join without a run: %v", err)
	}
	if _, err := api.Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: farm[:], Runs: []*turnrowv1.Run{{Entries: [][]byte{make([]byte, 5<<20)}}}}); status.Code(err) != codes.ResourceExhausted {
		t.Errorf("5 MiB: %v", err)
	}
}
