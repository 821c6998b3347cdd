package simtest_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"sync"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/replica"
	"turnrow/sync/simtest"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/units"
	"turnrow/sync/wire"
)

// liars is a farm all of whose devices lie, the owner's too: what each writes is
// read from bytes.
type liars struct {
	farm    *workload.Farm
	devices []*lying
	clock   int64
}

// lying is a device that goes on from whatever entry of its log it likes.
type lying struct {
	*workload.Writer
	ends  []branch // of its log, the latest last; the first is where it began to lie
	forks int
}

type branch struct {
	head chain.Head
	raws [][]byte
}

const (
	mostSteps = 24
	mostForks = 3 // of each device: within what each replica keeps
)

// honest is the farm before anybody lies.
var honest = sync.OnceValues(func() (*workload.Farm, error) { return workload.NewFarm("Upper Lea", 3) })

func newLiars(t testing.TB) *liars {
	f, err := honest()
	if err != nil {
		t.Fatal(err)
	}
	l := &liars{farm: f, clock: workload.Begin}
	for _, w := range f.Writers {
		d := &lying{Writer: w, ends: []branch{{head: w.Head.Clone()}}}
		for _, run := range f.Start {
			if run.Device.Log() == w.Head.Log {
				d.ends[0].raws = append(d.ends[0].raws, run.Entries...)
			}
		}
		l.devices = append(l.devices, d)
	}
	return l
}

// feed is bytes to choose by.
type feed struct{ rest []byte }

func (f *feed) byte() (b byte) {
	if len(f.rest) > 0 {
		b, f.rest = f.rest[0], f.rest[1:]
	}
	return b
}

func (f *feed) bytes(n int) (b []byte) {
	n = min(n, len(f.rest))
	b, f.rest = f.rest[:n], f.rest[n:]
	return b
}

// lie writes the next entry that the bytes say: who, from where in the log, with
// what clocks and which person, what it says that it had seen, and the body.
func (l *liars) lie(f *feed) (entry.Run, bool) {
	who, how, seen := f.byte(), f.byte(), f.byte()
	kind, fields := f.byte(), f.bytes(int(f.byte()))
	d := l.devices[int(who&0x7f)%len(l.devices)]
	from := d.ends[len(d.ends)-1]
	if who >= 0x80 && d.forks < mostForks {
		d.forks++
		from = d.ends[0]
	}
	l.clock += 60_000
	end := branch{from.head.Clone(), slices.Clone(from.raws)}
	draft := l.draft(&end.head, how, seen)
	raw, err := wire.Encode(&end.head, draft)
	if err != nil {
		return entry.Run{}, false
	}
	raw = withBody(raw, kind, fields)
	again := from.head.Clone()
	if _, err := wire.Decode(&again, raw); err != nil {
		return entry.Run{}, false
	}
	end.head, end.raws = again, append(end.raws, raw)
	d.ends = append(d.ends, end)
	return entry.Run{Device: end.head.Log.Device(), First: 1, Entries: end.raws, Sig: entry.Sign(d.Key, end.head.Hash)}, true
}

var stub = &entry.Noted{Text: "in place of a body"}

// withBody puts other bytes in the place of the stub.
func withBody(raw []byte, kind byte, fields []byte) []byte {
	at := bytes.LastIndex(raw, tag(byte(entry.KindNoted)))
	out := append(raw[:at:at], tag(kind)...)
	out = binary.AppendUvarint(out, uint64(len(fields)))
	return append(out, fields...)
}

func tag(kind byte) []byte { return binary.AppendUvarint(nil, uint64(kind)<<3|2) }

func (l *liars) draft(h *chain.Head, how, seen byte) entry.Draft {
	clocks := []int64{l.clock, l.clock, 0, l.clock + 25*3_600_000, l.clock - 2*365*24*3_600_000, hlc.MaxMillis}
	at := clocks[int(how&7)%len(clocks)]
	clock, _ := hlc.At(at, uint16(how>>6))
	d := entry.Draft{Clock: clock, Wall: clocks[int(how>>3&7)%len(clocks)], Body: stub}
	for i, o := range l.devices {
		m := o.ends[len(o.ends)-1].head.Mark()
		if seen>>i&1 == 0 || m.Log == h.Log || h.Peer(m.Log) >= 0 && h.Seen[h.Peer(m.Log)] >= m.Seq {
			continue
		}
		switch seen >> 6 {
		case 1: // entries that nobody wrote
			m.Seq += 3
		case 2: // a branch that nobody wrote
			m.Hash[0] ^= 1
		case 3: // an older branch
			o := o.ends[len(o.ends)/2].head.Mark()
			if h.Peer(m.Log) < 0 || h.Seen[h.Peer(m.Log)] < o.Seq {
				m = o
			}
		}
		d.Seen = append(d.Seen, m)
	}
	return d
}

// takes has a replica take runs, each by itself.
func takes(t testing.TB, r *replica.Replica, runs []entry.Run) {
	for _, run := range runs {
		if _, err := r.Take([]entry.Run{run}); err != nil {
			t.Fatal(err)
		}
	}
}

// replica is one of the farm before anybody lies.
func (l *liars) replica(t testing.TB) *replica.Replica {
	r, err := replica.Open(l.farm.ID, exchange.Generation{1}, simtest.NewMemory(l.farm.ID))
	if err != nil {
		t.Fatal(err)
	}
	takes(t, r, l.farm.Start)
	return r
}

// level has replicas call each other until nothing new moves.
func level(t testing.TB, a, b *replica.Replica) {
	var known chain.Frontier
	still := 0
	for n := 0; still < 2; n++ {
		before := a.Have().Entries() + b.Have().Entries()
		runs, _, err := a.Missing(known, exchange.UsualBatch)
		if err != nil {
			t.Fatal(err)
		}
		resp, err := b.Exchange(exchange.Request{Farm: a.Farm(), Have: a.Have(), Runs: runs, MaxBytes: exchange.UsualBatch})
		if err != nil {
			t.Fatal(err)
		}
		takes(t, a, resp.Runs)
		known = resp.Stored
		if still++; a.Have().Entries()+b.Have().Entries() > before {
			still = 0
		}
		if n > 60 {
			t.Fatal("two replicas are not level after 60 calls")
		}
	}
}

// FuzzFold has whatever hostile devices write come to two replicas in different
// orders: nothing panics, and both come to one state, which is the plain fold's.
func FuzzFold(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		l := newLiars(t)
		in := &feed{b}
		var runs []entry.Run
		for len(in.rest) > 0 && len(runs) < mostSteps {
			if run, ok := l.lie(in); ok {
				runs = append(runs, run)
			}
		}
		x, y := l.replica(t), l.replica(t)
		takes(t, x, runs)
		slices.Reverse(runs)
		takes(t, y, runs)
		level(t, x, y)
		if x.Digest() != y.Digest() {
			t.Fatalf("two states: %v and %v", x.Have(), y.Have())
		}
		if a, b := doubts(x), doubts(y); !slices.Equal(a, b) {
			t.Fatalf("two lists of doubts:\n%v\n%v", a, b)
		}
		if err := simtest.PlainOf(x); err != nil {
			t.Fatal(err)
		}
	})
}

func doubts(r *replica.Replica) (all []string) {
	for d := range r.View().Doubts() {
		all = append(all, fmt.Sprint(d.Kind, d.Entries, d.Settled))
	}
	return all
}

// seeds are days on which devices write what makes sense.
func seeds(t testing.TB) (all [][]byte) {
	f, err := honest()
	if err != nil {
		t.Fatal(err)
	}
	p, box, lot, owner := f.Things.Persons, f.Things.Boxes[0], f.Things.Lots[0], f.Writers[0].Head.Mark()
	helper, other := f.Writers[1].Head.Mark(), f.Writers[2].Head.Mark()
	at := func(dev int, seq uint64) entry.ID { return entry.ID{Log: f.Writers[dev].Head.Log, Seq: seq} }
	drill := entry.ID{Log: box.Log, Seq: box.Seq - 1}
	id := func(dev int, n uint64) entry.ID { return at(dev, f.Writers[dev].Head.Seq+n) } // the n-th that it writes here
	for _, day := range [][]said{
		{{1, &entry.Filled{Box: box, Lot: lot, Mass: 5e6}}, {2, &entry.DialMoved{Box: box, To: 40_000}}, {1, &entry.DialMoved{Box: box, To: 41_000}},
			{0, &entry.Settled{Doubt: "two-settings", Entries: []entry.ID{id(1, 2), id(2, 1)}, Stands: []entry.ID{id(2, 1)}}},
			{3, &entry.Caught{Box: box, Lot: lot, Dial: 40_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{4e5, 4e5}}}},
		{{0, &entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(units.Area(3e10))}}, {1, &entry.MeterRead{Drill: drill, Reading: 1000, Ground: id(0, 1)}},
			{2, &entry.CounterReset{Drill: drill, From: 1000, Why: "new"}}, {1, &entry.MeterRead{Drill: drill, Reading: 2000, Ground: id(0, 1)}},
			{1, &entry.LevelRead{Box: box, Mass: entry.Some(units.Mass(1e6))}}, {3, &entry.GroundFinished{Ground: id(0, 1), Drill: drill, Finished: true}}},
		{{0, &entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "pin", Required: true}}}}, {1, &entry.HitchBegun{Checks: id(0, 1), Drill: drill}},
			{1, &entry.ItemSigned{Hitch: id(1, 1), Item: 1}}, {2, &entry.HoldRaised{Drill: drill, Why: "hose"}}, {1, &entry.HoldReleased{Drill: drill, Why: "fixed", Holds: []entry.ID{id(2, 1)}}},
			{3, &entry.Unhitched{Drill: drill, Why: "done"}}},
		{{0, &entry.DeviceStopped{Last: helper}}, {1, &entry.Filled{Box: box, Lot: lot, Bags: 1000}}, {0, &entry.DeviceTakenIn{Last: helper}},
			{0, &entry.MemberChanged{Member: p[1], Role: entry.Owner}}, {2, &entry.MemberStopped{Member: p[0]}}, {2, &entry.DeviceStopped{Last: owner}},
			{2, &entry.Admitted{Device: other.Log.Device(), Hash: f.Writers[2].Head.Hash.Brief(), Person: p[1], Role: entry.Owner}}},
		{{1, &entry.Noted{Text: "wet"}}, {1, &entry.Amended{Entry: id(1, 1), Body: &entry.Noted{Text: "dry"}}}, {2, &entry.Struck{Entry: id(1, 1), Why: "no"}},
			{3, &entry.Amended{Entry: id(1, 1), Body: &entry.Noted{Text: "mud"}}}, {0, &entry.Invited{Person: p[2], Key: entry.Key{1}, Expires: 1}}},
	} {
		all = append(all, written(t, day))
	}
	return all
}

// said is what a device writes.
type said struct {
	dev  int
	body entry.Body
}

// written is the bytes that have devices write what they say, each knowing all
// that the others wrote before.
func written(t testing.TB, day []said) (all []byte) {
	l := newLiars(t)
	for _, s := range day {
		d := l.devices[s.dev]
		h := d.ends[len(d.ends)-1].head.Clone()
		draft := l.draft(&h, 0, 0x0f)
		draft.Body = s.body
		raw, err := wire.Encode(&h, draft)
		if err != nil {
			t.Fatalf("%T: %v", s.body, err)
		}
		kind := byte(s.body.Kind())
		fields := fieldsOf(t, raw, kind)
		step := append([]byte{byte(s.dev), 0, 0x0f, kind, byte(len(fields))}, fields...)
		if _, ok := l.lie(&feed{step}); !ok {
			t.Fatalf("%T is not written", s.body)
		}
		all = append(all, step...)
	}
	return all
}

// fieldsOf is what a body consists of, at the end of an entry.
func fieldsOf(t testing.TB, raw []byte, kind byte) []byte {
	for at := len(raw) - 2; at >= 0; at-- {
		if rest, ok := bytes.CutPrefix(raw[at:], tag(kind)); ok {
			if n, size := binary.Uvarint(rest); size > 0 && n == uint64(len(rest)-size) && n < 256 {
				return rest[size:]
			}
		}
	}
	t.Fatalf("no body of kind %d in %x", kind, raw)
	return nil
}
