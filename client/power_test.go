package client_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"turnrow/client"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

var cuts = flag.Int("cuts", 0, "power cuts of each machine in TestPowerCutsOfADay, spread evenly; 0 is one at every write")

// machine is a server or a device, on a disk whose power can go.
type machine struct {
	name  string
	home  string
	disk  *logtest.Mains
	start func(logstore.FS) error
	stop  func() // gives up what start began; a dead disk may complain
}

// up starts a machine, and starts it again where its power goes meanwhile.
func (m *machine) up(t *testing.T) {
	t.Helper()
	for {
		err := m.start(m.disk.FS)
		if err == nil {
			return
		}
		if !m.disk.Dead() {
			t.Fatalf("%s does not start: %v", m.name, err)
		}
		m.disk = m.disk.Back()
	}
}

// back gives a machine its power back.
func (m *machine) back() {
	if m.disk.Dead() {
		m.disk = m.disk.Back()
	}
}

// again ends a machine and starts it.
func (m *machine) again(t *testing.T) {
	t.Helper()
	m.stop()
	m.back()
	m.up(t)
}

// outage is a day on which the power of one machine goes.
type outage struct {
	t        *testing.T
	machines map[string]*machine
	srv      *server.Server
	listen   string
	crew     map[string]*device
	invite   string
	noted    map[string][]string // what each machine acknowledged
	brought  uint64              // entries that the server acknowledged
}

func newOutage(t *testing.T, chance uint64) *outage {
	o := &outage{t: t, machines: map[string]*machine{}, listen: "127.0.0.1:0", crew: map[string]*device{}, noted: map[string][]string{}}
	dir := t.TempDir()
	for i, name := range []string{"server", "ada", "ben"} {
		m := &machine{name: name, home: filepath.Join(dir, name), disk: logtest.NewMains(rand.New(rand.NewPCG(chance, uint64(i))))}
		if name == "server" {
			m.start = func(fs logstore.FS) error { return o.serve(m, fs) }
		} else {
			m.start = func(fs logstore.FS) error { return o.open(m, fs) }
		}
		o.machines[name] = m
	}
	return o
}

func (o *outage) serve(m *machine, fs logstore.FS) error {
	srv, err := server.New(server.Config{Data: m.home, Listen: o.listen, FS: fs})
	for ctx := within(o.t); errors.Is(err, syscall.EADDRINUSE) && ctx.Err() == nil; {
		srv, err = server.New(server.Config{Data: m.home, Listen: o.listen, FS: fs}) // another test had the port for a moment
	}
	if err != nil {
		return err
	}
	o.srv, o.listen = srv, srv.Addr()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- srv.Run(ctx) }()
	m.stop = func() {
		cancel()
		<-ended
	}
	return nil
}

func (o *outage) open(m *machine, fs logstore.FS) error {
	h, err := client.Open(m.home, client.Options{FS: fs})
	if err != nil {
		return err
	}
	c := &device{Home: h}
	c.Farm, _ = h.Farm()
	o.crew[m.name] = c
	m.stop = func() { _ = h.Close() }
	return nil
}

// day is what happens. Each part can be tried again where a power cut has
// stopped it.
func (o *outage) day() []func() error {
	return []func() error{
		o.founds,
		o.invites,
		o.syncs("ada"),
		o.joins,
		o.syncs("ben"),
		o.notes("ada", "gate to the bench is open"),
		o.notes("ben", "drill by the barn", "oats in the grain box", "rain by four"),
		o.syncs("ben"), o.syncs("ada"),
		o.restarts("ben"),
		o.notes("ben", "bench done"),
		o.notes("ada", "clover by the door", strings.Repeat("a long story ", 1000)),
		o.carries("ada", "ben"),
		o.restarts("server"),
		o.syncs("ben"),
		o.notes("ben", "home by eight"),
		o.syncs("ada"), o.syncs("ben"), o.syncs("ada"),
	}
}

func (o *outage) founds() error {
	ada := o.crew["ada"]
	if ada.Farm != nil {
		return o.syncs("ada")()
	}
	at, err := o.srv.FoundingAddress()
	if err != nil {
		return err
	}
	f, err := ada.Found(within(o.t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: at})
	if err == nil {
		err = f.Away
	}
	return err
}

func (o *outage) invites() (err error) {
	o.invite, err = o.crew["ada"].Invite(within(o.t), "Ben", entry.Operator)
	return err
}

func (o *outage) joins() error {
	ben := o.crew["ben"]
	if ben.Farm != nil {
		return o.syncs("ben")()
	}
	j, err := ben.Join(within(o.t), o.invite, "Ben's phone")
	if err == nil {
		err = j.Away
	}
	return err
}

// notes writes all of the texts at once, unless an earlier try has.
func (o *outage) notes(who string, texts ...string) func() error {
	return func() error {
		if has := notes(o.t, o.crew[who]); has[texts[0]] > 0 {
			for _, s := range texts {
				if has[s] != 1 {
					o.t.Errorf("%s holds a part of what was written at once", who)
				}
			}
			return nil
		}
		var bodies []entry.Body
		for _, s := range texts {
			bodies = append(bodies, &entry.Noted{Text: s})
		}
		_, err := o.crew[who].Record(within(o.t), entry.ID{}, bodies...)
		if err == nil {
			o.noted[who] = append(o.noted[who], texts...)
		}
		return err
	}
}

func (o *outage) syncs(who string) func() error {
	return func() error {
		c := o.crew[who]
		held := c.Digest().Entries
		_, err := c.Sync(within(o.t))
		if err == nil {
			o.brought = max(o.brought, held)
		}
		return err
	}
}

func (o *outage) carries(from, to string) func() error {
	return func() error {
		var stick bytes.Buffer
		if _, err := o.crew[from].CarryOut(&stick); err != nil {
			return err
		}
		_, err := o.crew[to].CarryIn(&stick)
		return err
	}
}

func (o *outage) restarts(who string) func() error {
	return func() error {
		o.machines[who].again(o.t)
		return nil
	}
}

// play plays the day. Where a machine's power has gone, it starts again, and
// what was under way is tried once more.
func (o *outage) play() {
	for _, name := range []string{"server", "ada", "ben"} {
		o.machines[name].up(o.t)
	}
	for n, part := range o.day() {
		err := part()
		for o.mend() {
			err = part()
		}
		if err != nil {
			o.t.Fatalf("part %d of the day: %v", n, err)
		}
	}
}

// mend starts again what has lost its power, and checks that it holds all that
// it had acknowledged. It says whether there was such a machine.
func (o *outage) mend() bool {
	for name, m := range o.machines {
		if !m.disk.Dead() {
			continue
		}
		m.again(o.t)
		if name == "server" {
			o.checkServer()
		} else {
			o.checkDevice(name)
		}
		return true
	}
	return false
}

func (o *outage) checkServer() {
	farms, err := o.srv.Farms()
	if err != nil {
		o.t.Fatal(err)
	}
	var held uint64
	for _, f := range farms {
		held += f.Entries
	}
	if held < o.brought {
		o.t.Errorf("the server holds %d entries, it had acknowledged %d", held, o.brought)
	}
}

func (o *outage) checkDevice(name string) {
	c := o.crew[name]
	if c.Farm == nil {
		return
	}
	has := notes(o.t, c)
	for _, s := range o.noted[name] {
		if has[s] != 1 {
			o.t.Errorf("%s holds %.40q %d times, and had acknowledged it", name, s, has[s])
		}
	}
	if r, err := c.Verify(nil); err != nil || len(r.Faults) > 0 {
		o.t.Errorf("%s: %v, %v", name, r.Faults, err)
	}
}

// end checks that all hold the same, each note once, and that every chain is
// whole.
func (o *outage) end() {
	ada, ben := o.crew["ada"], o.crew["ben"]
	sameEverywhere(o.t, ada, ben)
	for s, n := range notes(o.t, ben) {
		if n != 1 {
			o.t.Errorf("%.40q is held %d times", s, n)
		}
	}
	if n := len(notes(o.t, ben)); n != 8 {
		o.t.Errorf("%d notes, not 8", n)
	}
	if a, b := ada.Pending(), ben.Pending(); a+b != 0 {
		o.t.Errorf("pending: %d at Ada's, %d at Ben's", a, b)
	}
	farms, err := o.srv.Farms()
	if err != nil || len(farms) != 1 || farms[0].Digest != ada.Digest().Sum {
		o.t.Errorf("the server holds %+v (%v), Ada %+v", farms, err, ada.Digest())
	}
	for _, m := range o.machines {
		m.stop()
	}
	for name := range o.machines {
		o.whole(name)
	}
}

// whole walks what a machine's disk holds, once the machine has ended.
func (o *outage) whole(name string) {
	m := o.machines[name]
	var s *logstore.Store
	m.start = func(fs logstore.FS) (err error) {
		s, err = logstore.Open(filepath.Join(m.home, "store"), logstore.Options{FS: fs})
		return err
	}
	m.back() // where it went while the machine ended
	m.up(o.t)
	defer s.Close()
	if r, err := s.Verify(nil); err != nil || len(r.Faults) > 0 || r.Entries != o.brought {
		o.t.Errorf("%s: %d entries of %d, %v, %v", name, r.Entries, o.brought, r.Faults, err)
	}
}

// The power goes at the server, or at a device, on a day like others: at every
// write in turn, or at some. Whatever any of them acknowledged is there when
// the power is back, the day goes on, and at its end all hold the same.
func TestPowerCutsOfADay(t *testing.T) {
	whole := newOutage(t, 0)
	whole.play()
	whole.end()
	for name, m := range whole.machines {
		t.Run(name, func(t *testing.T) {
			writes := m.disk.Writes()
			step := 1
			if *cuts > 0 {
				step = max(1, writes / *cuts)
			}
			n := 0
			for at := 1; at <= writes; at += step {
				n++
				t.Run(fmt.Sprint(at), func(t *testing.T) {
					t.Parallel()
					o := newOutage(t, uint64(at))
					o.machines[name].disk.Cut(at)
					o.play()
					o.end()
				})
			}
			t.Logf("%d of %d cuts", n, writes)
		})
	}
}
