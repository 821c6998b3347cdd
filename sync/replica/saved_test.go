package replica_test

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/replica"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/wire"
)

// saved is a log that has nothing but a saved state, whatever that holds. What
// a replica does not ask of it while it opens panics.
type saved struct {
	replica.Log
	fold []byte
	fail error // where reading it ends
	read int   // entries that were asked for because the saved state is of no use
}

func (s *saved) Fold() ([]chain.Head, io.ReadCloser, error) {
	var r io.Reader = bytes.NewReader(s.fold)
	if s.fail != nil {
		r = io.MultiReader(r, iotest.ErrReader(s.fail))
	}
	return []chain.Head{}, io.NopCloser(r), nil
}

func (s *saved) Each(from []chain.Head, _ func(entry.Entry) error) error {
	if from == nil {
		s.read++
	}
	return nil
}

func (s *saved) OnStored(func([]entry.Entry)) {}

// day is the state of a farm of three devices.
func day(t testing.TB) *farm.State {
	t.Helper()
	f, err := workload.NewFarm("Upper Lea", 2)
	if err != nil {
		t.Fatal(err)
	}
	state := farm.New(f.ID)
	heads := map[entry.DeviceID]chain.Head{}
	for _, run := range f.Start {
		h, ok := heads[run.Device]
		if !ok {
			if h, err = wire.Start(f.ID, run.Device, run.Entries[0]); err != nil {
				t.Fatal(err)
			}
		}
		_, next, es, err := wire.Open(h, run, nil)
		if err != nil {
			t.Fatal(err)
		}
		heads[run.Device] = next
		state.Apply(es...)
	}
	return state
}

func opened(t testing.TB, id entry.FarmID, log *saved) *replica.Replica {
	t.Helper()
	r, err := replica.Open(id, exchange.Generation{}, log)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A saved state is taken where it is whole, and passed over where it is not:
// the log has everything.
func TestSavedStateThatIsNotWhole(t *testing.T) {
	state := day(t)
	whole := wire.SaveFold(state)
	log := &saved{fold: whole}
	if r := opened(t, state.Farm(), log); r.Digest() != state.Digest() || log.read > 0 {
		t.Errorf("a whole one was not taken")
	}
	for n := range whole {
		log := &saved{fold: whole[:n]}
		if r := opened(t, state.Farm(), log); r.Digest() == state.Digest() {
			t.Fatalf("%d of %d bytes gave the whole state", n, len(whole))
		}
	}
	for _, n := range []int{0, 20, 40, len(whole) / 2, len(whole)} {
		log := &saved{fold: whole[:n], fail: errors.New("the disk gave up")}
		if r := opened(t, state.Farm(), log); log.read != 1 || r.Digest() != farm.New(state.Farm()).Digest() {
			t.Errorf("%d of %d bytes and then an error: not passed over", n, len(whole))
		}
	}
	newer := append([]byte{}, whole...)
	newer[len("turnrow fold 2\n")]++ // of a version that knows one kind of entry more or less
	log = &saved{fold: newer}
	if opened(t, state.Farm(), log); log.read != 1 {
		t.Errorf("another version's was taken: what that did not know would stay unknown")
	}
	other := entry.FarmID{1}
	log = &saved{fold: whole}
	if r := opened(t, other, log); r.Digest() != farm.New(other).Digest() || log.read != 1 {
		t.Errorf("another farm's was taken")
	}
}

// FuzzSavedFold opens a replica from whatever bytes: nothing panics, and a
// state that was taken can be looked at.
func FuzzSavedFold(f *testing.F) {
	state := day(f)
	whole := wire.SaveFold(state)
	id := state.Farm()
	head := len("turnrow fold 2\n?") + len(id)
	f.Add(whole[head:])
	f.Add(wire.SaveFold(farm.New(id))[head:])
	one := farm.New(id)
	state.Entries(func(e entry.Entry) {
		if e.Seq == 1 {
			one.Apply(e)
		}
	})
	f.Add(wire.SaveFold(one)[head:])
	f.Fuzz(func(t *testing.T, b []byte) {
		r := opened(t, id, &saved{fold: append(whole[:head:head], b...)})
		_ = r.Digest()
		_ = r.View()
		r.Read(func(s *farm.State) { _ = wire.SaveFold(s) })
	})
}
