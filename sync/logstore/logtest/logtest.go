// Package logtest is what every body of a log must do, as tests that each body
// runs: the one on disk, the same in memory, and any other, such as a
// browser's. It also holds a small crew whose devices write entries.
package logtest

import (
	"crypto/ed25519"
	"io"
	"strings"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// Log is one farm's record, as package logstore describes it.
type Log interface {
	exchange.Log
	Head(d entry.DeviceID) (chain.Head, bool)
	Heads() []chain.Head
	Record(key ed25519.PrivateKey, d entry.DeviceID, wall int64, seen chain.Frontier, writes ...entry.Draft) ([]entry.Entry, error)
	Take(runs []entry.Run) (exchange.Taken, error)
	Each(from []chain.Head, fn func(entry.Entry) error) error
	OnStored(fn func([]entry.Entry))
	SaveFold(f chain.Frontier, heads []chain.Head, fold []byte) error
	Fold() ([]chain.Head, io.ReadCloser, error)
	SetPeer(name string, f chain.Frontier) error
	Peer(name string) (chain.Frontier, error)
}

// Store is a body under test.
type Store interface {
	Farm(id entry.FarmID) (Log, error)
	Farms() ([]entry.FarmID, error)
	Setting(key string) ([]byte, error)
	SetSettings(kv map[string][]byte) error
	Generation() [16]byte
	// Faults is what checking everything finds.
	Faults() ([]string, error)
	Close() error
}

// Body opens stores.
type Body interface {
	// Open opens the store of a name, as it was when it was closed.
	Open(t testing.TB, name string) Store
}

// Errors are the body's own sentinels.
type Errors struct{ Key, Unseen, Forked error }

// Properties runs the tests that try many ways to the same end; they do not
// depend on where bytes are kept.
func Properties(t *testing.T, body Body) {
	s := suite{body: body}
	t.Run("AnyRoadSameEnd", s.anyRoad)
}

// Run runs every test of the contract but for Properties.
func Run(t *testing.T, body Body, errs Errors) {
	s := suite{body, errs}
	for _, c := range []struct {
		name string
		run  func(*testing.T)
	}{
		{"Record", s.record}, {"RecordAllOrNone", s.recordAllOrNone}, {"RecordRefuses", s.recordRefuses},
		{"Seen", s.seen}, {"Take", s.take}, {"TakeRefuses", s.takeRefuses}, {"TakeRepeats", s.takeRepeats},
		{"Fork", s.fork}, {"ForkTravels", s.forkTravels}, {"RunsCutAtSignatures", s.runsCut}, {"RunsFromAnywhere", s.runsFromAnywhere},
		{"EachInTotalOrder", s.each}, {"Missing", s.missing}, {"Saved", s.saved}, {"FoldOfOtherEntries", s.foldOfOthers},
		{"FarmsApart", s.farmsApart}, {"OnStored", s.onStored}, {"SideBySide", s.sideBySide},
	} {
		t.Run(c.name, c.run)
	}
}

type suite struct {
	body Body
	errs Errors
}

// start opens a store of the test's own.
func (s suite) start(t testing.TB, name string) Store {
	t.Helper()
	return s.body.Open(t, strings.ReplaceAll(t.Name()+" "+name, "/", "-"))
}

// open opens a store that the test closes at its end.
func (s suite) open(t testing.TB, name string) Store {
	t.Helper()
	st := s.start(t, name)
	t.Cleanup(func() {
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	return st
}

// farm opens the crew's log in a store of that name.
func (s suite) farm(t testing.TB, name string, c *Crew) Log {
	t.Helper()
	return Must(s.open(t, name).Farm(c.Farm))(t)
}

// Must gives v where there was no error, and ends the test where there was.
func Must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
