package server_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"testing"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	reflectionv1 "google.golang.org/grpc/reflection/grpc_reflection_v1"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"

	servicev1 "turnrow/proto/turnrow/service/v1"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// answer is how a call should end.
type answer struct {
	code   codes.Code
	reason string
}

var (
	well        = answer{codes.OK, ""}
	noToken     = answer{codes.Unauthenticated, "TOKEN"}
	wrongTime   = answer{codes.Unauthenticated, "TOKEN_TIME"}
	wrongServer = answer{codes.Unauthenticated, "TOKEN_AUDIENCE"}
	stranger    = answer{codes.Unauthenticated, "STRANGER"}
	otherFarm   = answer{codes.PermissionDenied, "OTHER_FARM"}
	noFarm      = answer{codes.NotFound, "FARM"}
	isStopped   = answer{codes.PermissionDenied, "STOPPED"}
	noInvite    = answer{codes.PermissionDenied, "INVITE"}
	malformed   = answer{codes.InvalidArgument, "MALFORMED"}
)

// caller is somebody who calls: what they show, what they ask for, what their
// log is, and what a call that wants a token, or one to join, gives them.
type caller struct {
	name, token string
	farm        entry.FarmID
	log         entry.Run
	want, join  answer
}

// everybody is every kind of caller of a server.
func everybody(t *testing.T, srv *server.Server) []caller {
	ada, eve := founder(t, srv), founder(t, srv)
	viewer, helper, operator := joined(t, ada, "Vera", entry.Viewer), joined(t, ada, "Hugo", entry.Helper), joined(t, ada, "Olga", entry.Operator)
	lost := joined(t, ada, "Ben", entry.Operator)
	stopped(t, ada, lost)
	level(t, ada)
	gone := joined(t, ada, "Gus", entry.Operator)
	level(t, ada)
	memberStopped(t, ada, "Gus")

	here, farm, now := audience(t, srv), ada.ID(), time.Now()
	another := phone{ada.Farm, ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, 32))}
	own := func(p phone) entry.Run { return ownLog(t, p) }
	forged := enrolment(t, farm, 7, noInviteOf(0))
	return []caller{
		{"owner", ada.token(t, farm, here, now), farm, own(ada), well, well},
		{"viewer", viewer.token(t, farm, here, now), farm, own(viewer), well, well},
		{"helper", helper.token(t, farm, here, now), farm, own(helper), well, well},
		{"operator", operator.token(t, farm, here, now), farm, own(operator), well, well},
		{"no token", "", farm, forged, noToken, noInvite},
		{"words for a token", "open sesame", farm, forged, noToken, noInvite},
		{"signed by another key", another.token(t, farm, here, now), farm, forged, noToken, noInvite},
		{"expired", ada.token(t, farm, here, now.Add(-time.Hour)), farm, own(ada), wrongTime, well}, // who joins shows no token
		{"not yet", ada.token(t, farm, here, now.Add(time.Hour)), farm, own(ada), wrongTime, well},
		{"for another server", ada.token(t, farm, "00", now), farm, own(ada), wrongServer, well},
		{"for two servers", ada.tokenFor(t, farm, now, here, "00"), farm, own(ada), wrongServer, well},
		{"other farm's device, its own token", eve.token(t, eve.ID(), here, now), farm, own(eve), otherFarm, malformed},
		{"other farm's device, a token for this one", eve.token(t, farm, here, now), farm, own(eve), stranger, malformed},
		{"a farm that is not here", ada.token(t, entry.FarmID{1}, here, now), entry.FarmID{1}, own(ada), noFarm, noFarm},
		{"stopped device", lost.token(t, farm, here, now), farm, own(lost), isStopped, isStopped},
		{"stopped member's device", gone.token(t, farm, here, now), farm, own(gone), isStopped, isStopped},
	}
}

// method is one call: how to make it, and what it gives to whom.
type method struct {
	call func(context.Context, *grpc.ClientConn, caller) error
	want func(caller) answer
}

func byToken(c caller) answer { return c.want }
func byLog(c caller) answer   { return c.join }
func open(caller) answer      { return well } // says what the server is, and nothing of any farm

// methods is every call that a server answers.
var methods = map[string]method{
	"turnrow.service.v1.ExchangeService/Exchange": {func(ctx context.Context, cc *grpc.ClientConn, c caller) error {
		_, err := servicev1.NewExchangeServiceClient(cc).Exchange(ctx, &turnrowv1.ExchangeRequest{Farm: c.farm[:], Have: &turnrowv1.Frontier{}})
		return err
	}, byToken},
	"turnrow.service.v1.ExchangeService/Watch": {func(ctx context.Context, cc *grpc.ClientConn, c caller) error {
		stream, err := servicev1.NewExchangeServiceClient(cc).Watch(ctx, &turnrowv1.WatchRequest{Farm: c.farm[:], Have: &turnrowv1.Frontier{}})
		return firstOf(stream, err)
	}, byToken},
	"turnrow.service.v1.ExchangeService/Join": {func(ctx context.Context, cc *grpc.ClientConn, c caller) error {
		_, err := servicev1.NewExchangeServiceClient(cc).Join(ctx, wire.JoinOut(c.farm, c.log, ""))
		return err
	}, byLog},
	"grpc.health.v1.Health/Check": {func(ctx context.Context, cc *grpc.ClientConn, _ caller) error {
		_, err := healthv1.NewHealthClient(cc).Check(ctx, &healthv1.HealthCheckRequest{})
		return err
	}, open},
	"grpc.health.v1.Health/List": {func(ctx context.Context, cc *grpc.ClientConn, _ caller) error {
		_, err := healthv1.NewHealthClient(cc).List(ctx, &healthv1.HealthListRequest{})
		return err
	}, open},
	"grpc.health.v1.Health/Watch": {func(ctx context.Context, cc *grpc.ClientConn, _ caller) error {
		stream, err := healthv1.NewHealthClient(cc).Watch(ctx, &healthv1.HealthCheckRequest{})
		return firstOf(stream, err)
	}, open},
	"grpc.reflection.v1.ServerReflection/ServerReflectionInfo": {func(ctx context.Context, cc *grpc.ClientConn, _ caller) error {
		_, err := services(ctx, cc)
		return err
	}, open},
}

// firstOf is how the first answer of a stream went.
func firstOf[T any](stream interface{ Recv() (*T, error) }, err error) error {
	if err == nil {
		_, err = stream.Recv()
	}
	return err
}

// services is the names of what a server offers, as it says itself.
func services(ctx context.Context, cc *grpc.ClientConn) ([]string, error) {
	stream, err := reflectionv1.NewServerReflectionClient(cc).ServerReflectionInfo(ctx)
	if err != nil {
		return nil, err
	}
	if err := stream.Send(&reflectionv1.ServerReflectionRequest{MessageRequest: &reflectionv1.ServerReflectionRequest_ListServices{}}); err != nil {
		return nil, err
	}
	m, err := stream.Recv()
	var names []string
	for _, s := range m.GetListServicesResponse().GetService() {
		names = append(names, s.GetName())
	}
	return names, err
}

// Who may call what: every call that a server answers, by every kind of caller.
func TestWhoMayCall(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	callers := everybody(t, srv)
	cc := bare(t, srv)
	for name, m := range methods {
		for _, c := range callers {
			t.Run(name+"/"+c.name, func(t *testing.T) {
				ctx, cancel := context.WithCancel(with(within(t), c.token))
				defer cancel()
				err := m.call(ctx, cc, c)
				if got := (answer{status.Code(err), reason(err)}); got != m.want(c) {
					t.Errorf("%v, reason %q; want %v", err, got.reason, m.want(c))
				}
			})
		}
	}
}

// No call of a server's is left out of the table above.
func TestEveryCallHasARow(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	names, err := services(within(t), bare(t, srv))
	if err != nil || len(names) == 0 {
		t.Fatalf("services %v: %v", names, err)
	}
	for _, name := range names {
		d, err := protoregistry.GlobalFiles.FindDescriptorByName(protoreflect.FullName(name))
		if err != nil {
			t.Fatal(err)
		}
		calls := d.(protoreflect.ServiceDescriptor).Methods()
		for i := range calls.Len() {
			if row := name + "/" + string(calls.Get(i).Name()); methods[row].call == nil {
				t.Errorf("no row says who may call %s", row)
			}
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
	farm := ada.ID()
	device := ada.Device()
	ctx := with(within(t), ada.token(t, farm, audience(t, srv), time.Now()))
	frontier := func(hs ...*turnrowv1.Mark) *turnrowv1.Frontier { return &turnrowv1.Frontier{Marks: hs} }
	head := &turnrowv1.Mark{Device: device[:], Seq: 1, Hash: make([]byte, 8)}
	for name, m := range map[string]*turnrowv1.ExchangeRequest{
		"no farm":               {},
		"farm of 15 bytes":      {Farm: farm[:15]},
		"device of no bytes":    {Farm: farm[:], Have: frontier(&turnrowv1.Mark{Seq: 1, Hash: make([]byte, 8)})},
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
