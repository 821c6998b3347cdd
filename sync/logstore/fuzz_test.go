package logstore_test

import (
	"bytes"
	"encoding/binary"
	"io"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// packRun and unpackRun are a run as a fuzzer can change it: the number of the
// first entry, then each entry after its length.
func packRun(r entry.Run) []byte {
	b := binary.AppendUvarint(nil, r.First)
	for _, raw := range r.Entries {
		b = binary.AppendUvarint(b, uint64(len(raw)))
		b = append(b, raw...)
	}
	return b
}

func unpackRun(b []byte) (r entry.Run) {
	next := func() uint64 {
		v, n := binary.Uvarint(b)
		b = b[max(n, 0):]
		if n <= 0 {
			b = nil
		}
		return v
	}
	for r.First = next(); len(b) > 0; {
		n := min(next(), uint64(len(b)))
		r.Entries = append(r.Entries, b[:n:n])
		b = b[n:]
	}
	return r
}

// FuzzTakeRun gives a log the runs of a hostile device, which signs whatever it
// likes with its own key: nothing panics, what is refused leaves the log as it
// was, and what is taken is whole, and is read the same by another replica.
func FuzzTakeRun(f *testing.F) {
	c := logtest.NewCrew(2)
	from := logtest.Must(logtest.Must(logstore.Open("from", logstore.Options{FS: vfs.NewMem()}))(f).Farm(c.Farm))(f)
	d := c.Devices[1]
	c.Join(f, from, 1)
	first := logtest.Runs(f, from, d.ID, 1, exchange.MaxRun)
	c.Write(f, from, 1, logtest.Notes(3)...)
	c.Write(f, from, 1, entry.Draft{Body: &entry.HoldRaised{Why: "hitch pin missing"}})
	for _, at := range []uint64{1, 2, 3} {
		for _, r := range logtest.Runs(f, from, d.ID, at, exchange.MaxRun) {
			f.Add(packRun(r), true, false)
			f.Add(packRun(r), false, true)
		}
	}
	all := first[0].Entries
	f.Fuzz(func(t *testing.T, packed []byte, sign, held bool) {
		s := logtest.Must(logstore.Open("to", logstore.Options{FS: vfs.NewMem()}))(t)
		defer s.Close()
		l := logtest.Must(s.Farm(c.Farm))(t)
		if held {
			logtest.Must(l.Take(first))(t)
		}
		before := l.Frontier()
		r := unpackRun(packed)
		r.Device = d.ID
		if sign {
			r.Sig = entry.Sign(d.Key, endOf(c.Farm, r, all))
		}
		taken := logtest.Must(l.Take([]entry.Run{r}))(t)
		whole(t, s)
		if len(taken.Refused) > 0 && (len(taken.Entries) > 0 || len(l.Frontier()) != len(before) || !before.Covers(l.Frontier())) {
			t.Fatalf("refused %v, and yet at %v", taken.Refused, l.Frontier())
		}
		if len(taken.Entries) == 0 {
			return
		}
		far := logtest.Must(logtest.Must(logstore.Open("far", logstore.Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
		logtest.Must(far.Take(logtest.Runs(t, l, d.ID, 1, exchange.MaxRun)))(t)
		if got, want := far.Frontier(), l.Frontier(); len(got) != 1 || got[0] != want[0] {
			t.Fatalf("the next replica is at %v, this one at %v", got, want)
		}
		if got := logtest.All(t, far); len(got) != int(l.Frontier().Entries()) {
			t.Fatalf("the next replica reads %d entries", len(got))
		}
	})
}

// endOf is the chain's hash at a run's end, if it goes on from the entries held.
func endOf(farm entry.FarmID, r entry.Run, held [][]byte) entry.Hash {
	h := chain.Start(farm, r.Device, entry.Key{})
	for _, raw := range held[:min(max(r.First, 1)-1, uint64(len(held)))] {
		h.Advance(raw)
	}
	for _, raw := range r.Entries {
		h.Advance(raw)
	}
	return h.Hash
}

func TestPackedRunsReadBack(t *testing.T) {
	r := entry.Run{First: 300, Entries: [][]byte{[]byte("one"), {}, bytes.Repeat([]byte("x"), 300)}}
	if got := unpackRun(packRun(r)); got.First != 300 || len(got.Entries) != 3 || !bytes.Equal(got.Entries[2], r.Entries[2]) {
		t.Errorf("%+v", got)
	}
}

// FuzzMark reads whatever is in a store's mark: nothing panics, and what was
// read is written and read the same.
func FuzzMark(f *testing.F) {
	fs := vfs.NewMem()
	store := logtest.Must(logstore.Open("store", logstore.Options{FS: fs}))(f)
	c := logtest.NewCrew(1)
	l := logtest.Must(store.Farm(c.Farm))(f)
	c.Join(f, l, 0)
	c.Write(f, l, 0, logtest.Notes(3)...)
	check(f, store.Close())
	file := logtest.Must(fs.Open("store/MARK"))(f)
	f.Add(logtest.Must(io.ReadAll(file))(f))
	check(f, file.Close())
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, text []byte) {
		logstore.SumMark(text)
		once := logstore.MarkOut(text)
		if again := logstore.MarkOut(once); !bytes.Equal(once, again) {
			t.Fatalf("%x\nthen\n%x", once, again)
		}
	})
}
