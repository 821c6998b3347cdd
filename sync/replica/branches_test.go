package replica_test

import (
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
	"turnrow/sync/replica"
)

// counted is a log that counts how often all of it is read.
type counted struct {
	*logstore.Log
	read int
}

func (c *counted) Each(from []chain.Head, fn func(entry.Entry) error) error {
	c.read++
	return c.Log.Each(from, fn)
}

// forking is a farm whose founding device went on from a copy: the replica
// holds one branch as its log, the other comes from the copy.
type forking struct {
	*testing.T
	crew *logtest.Crew
	log  *counted
	rep  *replica.Replica
	copy *logstore.Log
	sent uint64 // of the copy
}

func newForking(t *testing.T) *forking {
	f := &forking{T: t, crew: logtest.NewCrew(1)}
	open := func(name string) *logstore.Log {
		return logtest.Must(logtest.Must(logstore.Open(name, logstore.Options{FS: vfs.NewMem()}))(t).Farm(f.crew.Farm))(t)
	}
	f.log, f.copy = &counted{Log: open("here")}, open("copy")
	f.crew.Join(t, f.log, 0)
	logtest.Must(f.copy.Take(logtest.Runs(t, f.log, f.device(), 1, exchange.MaxRun)))(t)
	f.crew.Write(t, f.log, 0, logtest.Note("here"))
	f.sent = 1
	f.rep = logtest.Must(replica.Open(f.crew.Farm, exchange.Generation{}, f.log))(t)
	return f
}

func (f *forking) device() entry.DeviceID { return f.crew.Devices[0].ID }

// more has the copy write, and the replica take it.
func (f *forking) more(text string) {
	f.Helper()
	f.crew.Write(f, f.copy, 0, logtest.Note("%s", text))
	runs := logtest.Runs(f, f.copy, f.device(), f.sent+1, exchange.MaxRun)
	f.take(runs...)
}

func (f *forking) take(runs ...entry.Run) {
	f.Helper()
	f.sent = runs[len(runs)-1].Last()
	logtest.Must(f.rep.Take(runs))(f)
}

// same checks that the state is the one that a replica comes to which reads the
// record from nothing, and gives the number of its entries.
func (f *forking) same() int {
	f.Helper()
	anew := logtest.Must(replica.Open(f.crew.Farm, exchange.Generation{}, f.log.Log))(f)
	if anew.Digest() != f.rep.Digest() {
		f.Error("a replica that reads the record anew comes to another state")
	}
	n := 0
	f.rep.Read(func(s *farm.State) { s.Entries(func(entry.Entry) { n++ }) })
	return n
}

// A branch that is known is read on as it grows; the record is folded anew for
// the branch's first entry alone. Otherwise whoever has a key could have
// everybody read all of the record with each entry.
func TestABranchThatGrowsIsReadOn(t *testing.T) {
	f := newForking(t)
	f.more("there")
	f.log.read = 0
	for range 20 {
		f.more("and again")
	}
	if f.log.read > 0 {
		t.Errorf("the record was read %d times for 20 entries", f.log.read)
	}
	if n := f.same(); n != 23 {
		t.Errorf("%d entries, want 23", n)
	}
}

// What is signed and cannot be read ends its branch, wherever that is. It keeps
// nobody from reading the rest, or from taking in more.
func TestWhatCannotBeReadEndsItsBranch(t *testing.T) {
	for _, begin := range []string{"", "there"} {
		f := newForking(t)
		if begin != "" {
			f.more(begin)
		}
		head, _ := f.copy.Head(f.device())
		for range 3 {
			f.log.read = 0
			raw := []byte{0xff, 0xff}
			head.Advance(raw)
			f.take(entry.Run{Device: f.device(), First: head.Seq, Entries: [][]byte{raw}, Sig: entry.Sign(f.crew.Devices[0].Key, head.Hash)})
		}
		if f.log.read > 0 {
			t.Error("the record was read anew for what cannot be read")
		}
		if n, want := f.same(), 2+len(begin)/5; n != want {
			t.Errorf("%d entries, want %d", n, want)
		}
	}
}
