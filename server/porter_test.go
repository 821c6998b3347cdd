package server_test

import (
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"

	"turnrow/client"
	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// asks brings a log that asks to join, as one without a client does.
func asks(t *testing.T, srv *server.Server, id entry.FarmID, run entry.Run) (exchange.Admission, error) {
	t.Helper()
	m, err := service(t, srv).Join(within(t), wire.JoinOut(id, run, ""))
	if err != nil {
		return exchange.Admission{}, err
	}
	a, err := wire.Admission(m)
	if err != nil {
		t.Fatal(err)
	}
	return a, nil
}

// invited is the text of an invite that the server holds.
func invited(t *testing.T, owner phone, person string, role entry.Role) string {
	t.Helper()
	text, err := owner.Invite(within(t), person, role)
	if err != nil {
		t.Fatal(err)
	}
	level(t, owner)
	return text
}

// device is a device as another sees it.
func device(p phone, id entry.DeviceID) (found farm.Device) {
	for _, d := range p.View().Devices {
		if d.ID == id {
			found = d
		}
	}
	return found
}

// Who joins at the farm's porter counts in the answer to its joining, on an
// invite in time, and once: the next on the same invite waits, and one on an
// owner's. What the porter wrote is there after a restart.
func TestPorterLetsIn(t *testing.T) {
	data := t.TempDir()
	srv, stop := serve(t, data)
	ada := founder(t, srv)
	invite := secretOf(t, invited(t, ada, "Ben", entry.Operator))
	first, second := newWriter(t, ada.ID(), 1), newWriter(t, ada.ID(), 2)
	if a, err := asks(t, srv, ada.ID(), first.enrols(invite)); err != nil || a.Waits || a.Stored.Seq(ada.Device().Log()) == 0 {
		t.Errorf("the first on an invite: %+v, %v", a, err)
	}
	if a, err := asks(t, srv, ada.ID(), second.enrols(invite)); err != nil || !a.Waits || len(a.Stored) != 1 {
		t.Errorf("the second on the same invite: %+v, %v", a, err)
	}
	owners := secretOf(t, invited(t, ada, "Olga", entry.Owner))
	if a, err := asks(t, srv, ada.ID(), enrolment(t, ada.ID(), 3, owners)); err != nil || !a.Waits {
		t.Errorf("on an owner's invite: %+v, %v", a, err)
	}
	stop()
	srv, _ = serve(t, data)
	h := &hostile{writer: first, srv: srv, api: service(t, srv)}
	if got, err := h.exchanges(t, ada.ID()); err != nil || got.Waits || len(got.Runs) == 0 {
		t.Errorf("let in, after a restart: %+v, %v", got, err)
	}
}

// exchanges is one exchange of a device without a client.
func (h *hostile) exchanges(t *testing.T, id entry.FarmID, runs ...entry.Run) (exchange.Response, error) {
	t.Helper()
	p := phone{key: h.writer.key}
	ctx := with(within(t), p.tokenOf(t, id, h.head.Log.Device(), audience(t, h.srv), time.Now()))
	req := exchange.Request{Farm: id, Runs: runs}
	m, err := h.api.Exchange(ctx, wire.RequestOut(req))
	if err != nil {
		return exchange.Response{}, err
	}
	resp, err := wire.Response(m, req)
	if err != nil {
		t.Fatal(err)
	}
	return resp, nil
}

// No clock but the server's own judges an invite there: a note of an honest phone
// whose date is a day and more ahead keeps nobody out. And where the server's
// clock is past the invite's end, who joins waits, for an owner to say.
func TestAPhoneADayAheadKeepsNobodyOut(t *testing.T) {
	var ahead atomic.Int64
	srv, _ := started(t, server.Config{Data: t.TempDir(), Listen: "127.0.0.1:0", Now: func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }})
	ada := founder(t, srv)
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Operator))
	mal.head.Clock += (25 * 60 * 60 * 1000) << 16 // ms of the clock, and 16 bits that count within one
	if refused, _ := mal.offer(t, mal.write(nil, &entry.Noted{Text: "the year is wrong"})); len(refused) > 0 {
		t.Fatal(refused)
	}
	level(t, ada)
	joined(t, ada, "Ben", entry.Operator)

	late := secretOf(t, invited(t, ada, "Cleo", entry.Helper))
	run := enrolment(t, ada.ID(), 9, late)
	before := porter(t, ada).Last.Seq
	ahead.Store(int64(25 * time.Hour))
	a, err := asks(t, srv, ada.ID(), run)
	if err != nil || !a.Waits {
		t.Fatalf("past the invite's end: %+v, %v", a, err)
	}
	ahead.Store(0) // the owner's token is of now
	level(t, ada)
	if got := porter(t, ada).Last.Seq; got != before {
		t.Errorf("the porter wrote entry %d past the invite's end", got)
	}
}

// porter is the farm's one porter, as a device sees it.
func porter(t *testing.T, p phone) (found farm.Device) {
	t.Helper()
	n := 0
	for _, d := range p.View().Devices {
		if d.Porter {
			found = d
			n++
		}
	}
	if n != 1 {
		t.Fatalf("%d porters", n)
	}
	return found
}

// The text of an invite that was used, carried in by any member with the least
// clock, throws nobody out: the new log waits, and whoever used the invite goes
// on. Four such logs are kept, a fifth is told why not. A device that was let in
// elsewhere is kept all the same.
func TestAnOldInviteThrowsNobodyOut(t *testing.T) {
	srv, _ := serve(t, t.TempDir())
	ada := founder(t, srv)
	text := invited(t, ada, "Ben", entry.Operator)
	ben := openPhone(t, func(c *client.Home) error {
		j, err := c.Join(within(t), text, "Ben's phone")
		if err == nil {
			err = j.Away
		}
		return err
	})
	mal := newHostile(t, srv, joined(t, ada, "Mal", entry.Viewer))
	var crowd []entry.Run
	for n := range exchange.InviteLogs + 2 {
		crowd = append(crowd, enrolment(t, ada.ID(), byte(n+20), secretOf(t, text)))
	}
	refused, got := mal.offer(t, crowd[:5]...)
	if len(refused) != 1 || refused[0].GetReason() != turnrowv1.Reason_REASON_STRANGER || got.Seq(crowd[0].Device.Log()) != 1 {
		t.Errorf("of five logs on an old invite refused: %v", refused)
	}
	if _, err := asks(t, srv, ada.ID(), crowd[5]); status.Code(err) != codes.PermissionDenied || reason(err) != "INVITE_FULL" {
		t.Errorf("one more that asks by itself: %v", err)
	}
	if _, err := ben.Record(within(t), entry.ID{}, &entry.Noted{Text: "still here"}); err != nil {
		t.Fatal(err)
	}
	level(t, ben)
	level(t, ada)
	if d := device(ada, ben.Device()); !d.Joined || d.Stopped || d.Role != entry.Operator {
		t.Errorf("Ben: %+v", d)
	}
	for _, r := range crowd {
		if device(ada, r.Device).Joined {
			t.Error("an old invite let somebody in")
		}
	}
	// The owner has let in the last of them, whose log the server did not keep.
	at := newWriter(t, ada.ID(), 20+5)
	at.enrols(secretOf(t, text))
	if _, err := ada.Record(within(t), entry.ID{}, &entry.Admitted{
		Device: at.head.Log.Device(), Hash: at.head.Mark().Hash, Person: device(ada, ben.Device()).Person, Role: entry.Operator,
	}); err != nil {
		t.Fatal(err)
	}
	level(t, ada)
	if refused, got := mal.offer(t, crowd[5]); len(refused) > 0 || got.Seq(at.head.Log) != 1 {
		t.Errorf("one that was let in elsewhere is refused: %v", refused)
	}
}

// Who waits to be let in sends its log, is told how far that is stored, and gets
// nothing of the farm. It watches nothing.
func TestWhoWaitsSendsAndGetsNothing(t *testing.T) {
	srv, _ := started(t, server.Config{Data: t.TempDir(), Listen: "127.0.0.1:0", NoPorter: true})
	ada := founder(t, srv)
	w := newWriter(t, ada.ID(), 1)
	run := w.enrols(secretOf(t, invited(t, ada, "Ben", entry.Operator)))
	a, err := asks(t, srv, ada.ID(), run)
	if err != nil || !a.Waits || len(a.Stored) != 1 || !a.Porter.Log.IsZero() {
		t.Fatalf("asking to join: %+v, %v", a, err)
	}
	h := &hostile{writer: w, srv: srv, api: service(t, srv)}
	note := h.write(nil, &entry.Noted{Text: "gate open"})
	stray := enrolment(t, ada.ID(), 2, noInviteOf(0))
	got, err := h.exchanges(t, ada.ID(), note, stray)
	if err != nil || !got.Waits || len(got.Runs) > 0 || len(got.Stored) != 1 || got.Stored.Seq(w.head.Log) != 2 {
		t.Errorf("an exchange: %+v, %v", got, err)
	}
	p := phone{key: w.key}
	stream, err := h.api.Watch(with(within(t), p.tokenOf(t, ada.ID(), w.head.Log.Device(), audience(t, srv), time.Now())), wire.WatchOut(ada.ID(), nil))
	if err := firstOf(stream, err); reason(err) != "WAITING" {
		t.Errorf("a watch: %v", err)
	}
	level(t, ada) // whose device lets it in
	level(t, ada)
	if got, err := h.exchanges(t, ada.ID()); err != nil || got.Waits || len(got.Runs) == 0 {
		t.Errorf("once it was let in: %+v, %v", got, err)
	}
	if d := device(ada, stray.Device); !d.ID.IsZero() {
		t.Errorf("it brought the log of another: %+v", d)
	}
}

// A server's key for a farm is for nobody else to read. Where it is there, and
// the store is another, the device is another too: no number is used twice.
func TestPorterOfAnotherStore(t *testing.T) {
	data := t.TempDir()
	srv, stop := serve(t, data)
	ada := founder(t, srv)
	var before []farm.Device
	for _, d := range ada.View().Devices {
		if d.Porter {
			before = append(before, d)
		}
	}
	path := filepath.Join(data, "porters", ada.ID().String()+".pem")
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 || len(before) != 1 {
		t.Fatalf("%v, %v, %d porters", info, err, len(before))
	}
	stop()
	if err := os.RemoveAll(filepath.Join(data, "store")); err != nil {
		t.Fatal(err)
	}
	srv, _ = serve(t, data)
	at, err := srv.FoundingAddress()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ada.At(within(t), at, client.AtOptions{}); err != nil {
		t.Fatal(err)
	}
	level(t, ada)
	porters := 0
	for _, d := range ada.View().Devices {
		if d.Forked {
			t.Errorf("%s is forked", d.Name)
		}
		if d.Porter {
			porters++
		}
	}
	joined(t, ada, "Ben", entry.Operator)
	if porters != 2 {
		t.Errorf("%d porters, want the one of each store", porters)
	}
}
