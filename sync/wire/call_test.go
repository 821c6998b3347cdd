package wire_test

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"google.golang.org/genproto/googleapis/rpc/status"
	"google.golang.org/protobuf/proto"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

func overTheWire[M proto.Message](t *testing.T, out, in M) M {
	t.Helper()
	b, err := proto.Marshal(out)
	if err == nil {
		err = proto.Unmarshal(b, in)
	}
	if err != nil {
		t.Fatal(err)
	}
	return in
}

var (
	someFrontier = chain.Frontier{{Log: devA.Log(), Seq: 3, Hash: [8]byte{1}}, {Log: devB.Log(), Seq: 9, Hash: [8]byte{2}}}
	someRuns     = []entry.Run{{Device: devB, First: 4, Entries: [][]byte{[]byte("one"), []byte("two")}, Sig: entry.Signature{5}}}
)

func TestCallsReadBackAsWritten(t *testing.T) {
	req := exchange.Request{Farm: farm, Have: someFrontier, Runs: someRuns, Generation: exchange.Generation{7}, MaxBytes: 99}
	gotReq, err := wire.Request(overTheWire(t, wire.RequestOut(req), new(turnrowv1.ExchangeRequest)))
	if err != nil || !reflect.DeepEqual(gotReq, req) {
		t.Errorf("request: %+v, %v", gotReq, err)
	}
	resp := exchange.Response{Generation: exchange.Generation{7}, Stored: someFrontier, Runs: someRuns, More: true, Waits: true, Porter: somePorter}
	for _, have := range []chain.Frontier{nil, someFrontier, someFrontier[:1], {{Log: entry.LogID{1}, Seq: 4}, someFrontier[1]}} {
		resp.Have, resp.ReadsBrief = have, len(have) > 0
		out := overTheWire(t, wire.ResponseOut(resp), new(turnrowv1.ExchangeResponse))
		gotResp, err := wire.Response(out, exchange.Request{Have: have, ReadsBrief: true})
		if err != nil || !reflect.DeepEqual(gotResp, resp) {
			t.Errorf("response to who has %v: %+v, %v", have, gotResp, err)
		}
		if n := len(out.GetStored().GetMarks()); len(have) == 2 && have[0] == someFrontier[0] && n > 0 {
			t.Errorf("%d marks told to who has them", n)
		}
	}
	f, run, code, err := wire.Join(overTheWire(t, wire.JoinOut(farm, someRuns[0], "code"), new(turnrowv1.JoinRequest)))
	if err != nil || f != farm || code != "code" || !reflect.DeepEqual(run, someRuns[0]) {
		t.Errorf("join: %v %+v %q, %v", f, run, code, err)
	}
	a := exchange.Admission{Generation: exchange.Generation{7}, Stored: someFrontier, Waits: true, Porter: somePorter}
	gotA, err := wire.Admission(overTheWire(t, wire.AdmissionOut(a), new(turnrowv1.JoinResponse)))
	if err != nil || !reflect.DeepEqual(gotA, a) {
		t.Errorf("admission: %+v, %v", gotA, err)
	}
	a.Waits, a.Porter = false, entry.Mark{}
	gotHint, err := wire.Hint(overTheWire(t, wire.HintOut(a.Generation, a.Stored), new(turnrowv1.WatchResponse)))
	if err != nil || !reflect.DeepEqual(gotHint, a) {
		t.Errorf("hint: %+v, %v", gotHint, err)
	}
}

// What is offered as a porter is a log's first entry.
func TestPorterIsAFirstEntry(t *testing.T) {
	a := exchange.Admission{Porter: somePorter}
	a.Porter.Seq = 2
	if _, err := wire.Admission(wire.AdmissionOut(a)); !errors.Is(err, exchange.ErrMalformed) {
		t.Errorf("entry 2: %v", err)
	}
}

var somePorter = entry.Mark{Log: entry.LogID{5}, Seq: 1, Hash: entry.Brief{9}}

// A refusal means the same on both sides of the wire.
func TestRefusalsMeanTheSame(t *testing.T) {
	for _, want := range []error{
		chain.ErrGap, entry.ErrSignature, exchange.ErrMalformed, exchange.ErrBound, exchange.ErrStranger, chain.ErrFork,
	} {
		out := wire.ResponseOut(exchange.Response{Refusals: []exchange.Refusal{{Device: devA, First: 2, Err: fmt.Errorf("why: %w", want)}}})
		got, err := wire.Response(overTheWire(t, out, new(turnrowv1.ExchangeResponse)), exchange.Request{})
		if err != nil || len(got.Refusals) != 1 {
			t.Fatalf("%v: %+v, %v", want, got, err)
		}
		if r := got.Refusals[0]; !errors.Is(r.Err, want) || r.Device != devA || r.First != 2 || r.Err.Error() != "why: "+want.Error() {
			t.Errorf("%v came as %+v", want, r)
		}
	}
}

// Every error that crosses the wire means the same on both sides; others stay
// on their own side, words and all.
func TestFailuresMeanTheSame(t *testing.T) {
	for _, want := range []error{
		exchange.ErrToken, exchange.ErrTokenTime, exchange.ErrAudience, exchange.ErrStranger, exchange.ErrForbidden,
		exchange.ErrStopped, exchange.ErrFarm, exchange.ErrFounding, exchange.ErrInvite, exchange.ErrInviteFull,
		exchange.ErrInviteOver, exchange.ErrProof, exchange.ErrFork, exchange.ErrMalformed, exchange.ErrBound,
		exchange.ErrBusy, exchange.ErrStorage, exchange.ErrInternal,
	} {
		f := &exchange.Failure{Err: want, Text: "words: " + want.Error(), Wall: 1e12, Retry: 1500, Generation: exchange.Generation{3}}
		got := wire.Failure(overTheWire(t, wire.Status(f), new(status.Status)))
		if got == nil || !errors.Is(got, want) || got.Wall != f.Wall || got.Retry != f.Retry || got.Generation != f.Generation {
			t.Errorf("%v came as %+v", want, got)
		}
		if want != exchange.ErrInternal && got.Text != f.Text {
			t.Errorf("%v: words %q", want, got.Text)
		}
	}
	s := wire.Status(errors.New("open /secret/path: no such file"))
	if got := wire.Failure(s); !errors.Is(got, exchange.ErrInternal) || bytes.Contains([]byte(s.String()), []byte("secret")) {
		t.Errorf("an error of no name went out as %v", s)
	}
	if got := wire.Failure(&status.Status{Code: 14, Message: "a proxy's words"}); got != nil {
		t.Errorf("a status of somebody else's is taken for %+v", got)
	}
}

// A frontier in the brief form is what it was to one who knows its devices, and
// what that one does not know comes back as known to the asker alone.
func TestBriefFrontier(t *testing.T) {
	req := exchange.Request{Farm: farm, Have: someFrontier, ReadsBrief: true}
	m := overTheWire(t, wire.RequestOut(req), new(turnrowv1.ExchangeRequest))
	if m.GetHave() != nil || len(m.GetBrief()) != 2*(4+1+8) {
		t.Fatalf("written as %v", m)
	}
	// The last four bytes of each device, its number, its hash: in these bytes since
	// the first version that wrote them.
	if pinned := "00000001030100000000000000" + "00000002090200000000000000"; hex.EncodeToString(m.GetBrief()) != pinned {
		t.Errorf("written as %x, not %s", m.GetBrief(), pinned)
	}
	got, err := wire.Request(m)
	if err != nil {
		t.Fatal(err)
	}
	for known, want := range map[int]uint64{2: 9, 1: 0} { // the answerer knows both devices, or the first alone
		stored := someFrontier[:known]
		have, unknown, err := got.Holds(stored)
		if err != nil || known == 2 && !reflect.DeepEqual(have, someFrontier) {
			t.Fatalf("read as %v, %v", have, err)
		}
		answer := overTheWire(t, wire.ResponseOut(exchange.Response{Stored: stored, Have: have, Unknown: unknown}), new(turnrowv1.ExchangeResponse))
		if told := answer.GetStored().GetMarks(); known == 1 && (len(told) != 1 || hex.EncodeToString(told[0].GetDevice()) != "00000000000000000000000000000002") {
			t.Errorf("what is unknown is told of as %v", told)
		}
		resp, err := wire.Response(answer, req)
		if err != nil || !reflect.DeepEqual(resp.Stored, stored) || resp.Stored.Seq(devB.Log()) != want {
			t.Errorf("%d known: %v is told as stored, %v", known, resp.Stored, err)
		}
	}
	whole := m.GetBrief()
	for name, b := range map[string][]byte{
		"torn":         whole[:len(whole)-1],
		"twice":        append(whole[:13:13], whole[:13]...),
		"out of order": append(whole[13:26:26], whole[:13]...),
	} {
		if _, err := wire.Request(&turnrowv1.ExchangeRequest{Farm: farm[:], Brief: b}); !errors.Is(err, exchange.ErrMalformed) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := wire.Request(&turnrowv1.ExchangeRequest{Farm: farm[:], Brief: whole, Have: wire.FrontierOut(someFrontier)}); !errors.Is(err, exchange.ErrMalformed) {
		t.Errorf("both forms at once: %v", err)
	}
}

// Two devices that share a short name are written in full, and asked for.
func TestBriefFrontierOfTwins(t *testing.T) {
	twin := devA
	twin[0]++ // the last bytes are the same
	twins := chain.Frontier{{Log: devA.Log(), Seq: 3}, {Log: twin.Log(), Seq: 5}}
	if m := wire.RequestOut(exchange.Request{Farm: farm, Have: twins, ReadsBrief: true}); m.GetBrief() != nil || len(m.GetHave().GetMarks()) != 2 {
		t.Errorf("twins go out as %v", m)
	}
	// The asker knows the one, who answers the other: neither name is unclear to
	// either, and the answer must not pass for one about the asker's.
	asked := exchange.Request{Farm: farm, Have: twins[:1], ReadsBrief: true}
	got, err := wire.Request(overTheWire(t, wire.RequestOut(asked), new(turnrowv1.ExchangeRequest)))
	if err != nil {
		t.Fatal(err)
	}
	have, unknown, err := got.Holds(twins[1:])
	if err != nil {
		t.Fatal(err)
	}
	answer := overTheWire(t, wire.ResponseOut(exchange.Response{Stored: twins[1:], Have: have, Unknown: unknown}), new(turnrowv1.ExchangeResponse))
	if resp, err := wire.Response(answer, asked); !errors.Is(err, exchange.ErrMalformed) {
		t.Errorf("an answer about another device is read as %v, %v", resp.Stored, err)
	}
	one, ok := twins[:1].Brief()
	if _, _, err := one.Whole(twins); !ok || !errors.Is(err, chain.ErrShort) {
		t.Errorf("one of them is taken for either: %v", err)
	}
}

func FuzzStatus(f *testing.F) {
	b, err := proto.Marshal(wire.Status(&exchange.Failure{Err: exchange.ErrBusy, Text: "busy", Wall: 5, Retry: 9}))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Fuzz(func(t *testing.T, b []byte) {
		var s status.Status
		if proto.Unmarshal(b, &s) == nil {
			if got := wire.Failure(&s); got != nil && got.Err == nil {
				t.Fatalf("a failure of no kind: %+v", got)
			}
		}
	})
}

func FuzzCalls(f *testing.F) {
	req, err1 := proto.Marshal(wire.RequestOut(exchange.Request{Farm: farm, Have: someFrontier, Runs: someRuns}))
	resp, err2 := proto.Marshal(wire.ResponseOut(exchange.Response{Stored: someFrontier, Runs: someRuns}))
	if err := errors.Join(err1, err2); err != nil {
		f.Fatal(err)
	}
	brief, err := proto.Marshal(wire.RequestOut(exchange.Request{Farm: farm, Have: someFrontier, ReadsBrief: true}))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(req)
	f.Add(resp)
	f.Add(brief)
	f.Fuzz(func(t *testing.T, b []byte) {
		var req turnrowv1.ExchangeRequest
		if proto.Unmarshal(b, &req) == nil {
			if _, err := wire.Request(&req); err != nil && !errors.Is(err, exchange.ErrMalformed) {
				t.Fatalf("request: %v", err)
			}
		}
		var resp turnrowv1.ExchangeResponse
		if proto.Unmarshal(b, &resp) == nil {
			if _, err := wire.Response(&resp, exchange.Request{Have: someFrontier, ReadsBrief: true}); err != nil && !errors.Is(err, exchange.ErrMalformed) {
				t.Fatalf("response: %v", err)
			}
		}
	})
}
