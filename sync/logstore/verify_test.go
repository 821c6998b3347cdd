package logstore

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/logstore/logtest"
)

// wellUsed is a store with something under every kind of key.
func wellUsed(t testing.TB) *Store {
	t.Helper()
	s := logtest.Must(Open("store", Options{FS: vfs.NewMem()}))(t)
	t.Cleanup(func() { _ = s.Close() })
	c := logtest.NewCrew(2)
	l := logtest.Must(s.Farm(c.Farm))(t)
	far := logtest.Must(logtest.Must(Open("far", Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	c.Write(t, l, 0, logtest.Notes(3)...)
	c.Join(t, far, 1)
	c.Write(t, far, 1, logtest.Notes(12)...)
	logtest.Must(l.Take(logtest.Runs(t, far, c.Devices[1].ID, 1, 500)))(t)
	copied := logtest.Must(logtest.Must(Open("copied", Options{FS: vfs.NewMem()}))(t).Farm(c.Farm))(t)
	logtest.Must(copied.Take(logtest.Runs(t, far, c.Devices[1].ID, 1, 500)[:1]))(t)
	c.Write(t, copied, 1, logtest.Note("of the copy"), logtest.Note("and more"))
	taken := logtest.Must(l.Take(logtest.Runs(t, copied, c.Devices[1].ID, 1, 500)))(t)
	if len(taken.Refused) != 1 {
		t.Fatalf("a fork gives %v", taken.Refused)
	}
	for _, err := range []error{
		l.SaveFold(l.Frontier(), l.Heads(), []byte("folded")),
		l.SetPeer("server", l.Frontier()),
		s.SetSettings(map[string][]byte{"name": []byte("tablet")}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// pairs reads every key and value.
func pairs(t testing.TB, s *Store) (all [][2][]byte) {
	t.Helper()
	it := logtest.Must(s.eng.db.NewIter(nil))(t)
	defer it.Close()
	for ok := it.First(); ok; ok = it.Next() {
		all = append(all, [2][]byte{bytes.Clone(it.Key()), bytes.Clone(it.Value())})
	}
	return all
}

func raw(t testing.TB, s *Store, key, value []byte) {
	t.Helper()
	var err error
	if value == nil {
		err = s.eng.db.Delete(key, pebble.NoSync)
	} else {
		err = s.eng.db.Set(key, value, pebble.NoSync)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func faults(t testing.TB, s *Store) []Fault {
	t.Helper()
	return logtest.Must(s.Verify(nil))(t).Faults
}

func named(fs []Fault, keys ...[]byte) bool {
	return slices.ContainsFunc(fs, func(f Fault) bool {
		return slices.ContainsFunc(keys, func(k []byte) bool { return f.Key == describe(k) })
	})
}

// A flipped bit in any key or any value is found, and named.
func TestVerifyNamesAnyFlippedBit(t *testing.T) {
	s := wellUsed(t)
	if fs := faults(t, s); len(fs) > 0 {
		t.Fatalf("faults in a whole store: %v", fs)
	}
	r := rand.New(rand.NewPCG(1, 3))
	spaces := map[byte]int{}
	for _, p := range pairs(t, s) {
		key, value := p[0], p[1]
		spaces[key[0]]++
		for range 4 {
			bad := bytes.Clone(value)
			bad[r.IntN(len(bad))] ^= 1 << r.IntN(8)
			raw(t, s, key, bad)
			if fs := faults(t, s); !named(fs, key) {
				t.Errorf("a bit of the value of %s: faults %v", describe(key), fs)
			}
			raw(t, s, key, value)
		}
		for range 4 {
			bad := bytes.Clone(key)
			bad[r.IntN(len(bad))] ^= 1 << r.IntN(8)
			if v := logtest.Must(get(s.eng.db, bad))(t); v != nil {
				continue // another key
			}
			raw(t, s, key, nil)
			raw(t, s, bad, value)
			if fs := faults(t, s); !named(fs, bad, key) {
				t.Errorf("a bit of the key of %s: faults %v", describe(key), fs)
			}
			raw(t, s, bad, nil)
			raw(t, s, key, value)
		}
	}
	t.Logf("keys by space: %v", spaces)
	if fs := faults(t, s); len(fs) > 0 {
		t.Fatalf("faults after putting it back: %v", fs)
	}
}

// A value whose checksum was made to fit is found by the chain and the
// signature, and so is what is missing.
func TestVerifyFindsForgeryAndLoss(t *testing.T) {
	s := wellUsed(t)
	c := logtest.NewCrew(2)
	d := c.Devices[1].ID
	key := func(space byte, seq uint64) []byte { return seqKey(space, c.Farm, d.Log(), seq) }
	forge := func(key []byte, change func([]byte) []byte) {
		b := s.eng.db.NewBatch()
		p := logtest.Must(get(s.eng.db, key))(t)
		if err := put(b, key, change(p)); err != nil {
			t.Fatal(err)
		}
		if err := b.Commit(pebble.NoSync); err != nil {
			t.Fatal(err)
		}
	}
	flip := func(i int) func([]byte) []byte {
		return func(p []byte) []byte {
			if i < 0 {
				i += len(p)
			}
			p[i] ^= 1
			return p
		}
	}
	last := s.farms[c.Farm].Frontier().Seq(d.Log())
	for _, f := range []struct {
		name  string
		do    func()
		key   []byte
		space byte
	}{
		{"entry", func() { forge(key(spaceEntry, 5), flip(-1)) }, nil, spaceEntry},
		{"signature", func() { forge(key(spaceSignature, last), flip(-1)) }, key(spaceSignature, last), 0},
		{"hash at a signature", func() { forge(key(spaceSignature, last), flip(0)) }, key(spaceSignature, last), 0},
		{"head's clock", func() { forge(logKey(spaceHead, c.Farm, d.Log()), flip(66)) }, logKey(spaceHead, c.Farm, d.Log()), 0},
		{"entry lost", func() { raw(t, s, key(spaceEntry, 3), nil) }, key(spaceEntry, 3), 0},
		{"end lost", func() { raw(t, s, key(spaceEntry, last), nil) }, key(spaceSignature, last), 0},
		{"last signature lost", func() { raw(t, s, key(spaceSignature, last), nil) }, logKey(spaceHead, c.Farm, d.Log()), 0},
		{"head lost", func() { raw(t, s, logKey(spaceHead, c.Farm, d.Log()), nil) }, logKey(spaceHead, c.Farm, d.Log()), 0},
		{"stray entry", func() { forge(key(spaceEntry, last+2), flip2) }, key(spaceEntry, last+1), 0},
	} {
		before := pairs(t, s)
		f.do()
		fs := faults(t, s)
		if f.key != nil && !named(fs, f.key) || len(fs) == 0 {
			t.Errorf("%s: faults %v", f.name, fs)
		}
		t.Logf("%s: %v", f.name, fs)
		for _, p := range pairs(t, s) {
			raw(t, s, p[0], nil)
		}
		for _, p := range before {
			raw(t, s, p[0], p[1])
		}
	}
	if fs := faults(t, s); len(fs) > 0 {
		t.Fatalf("faults after putting it back: %v", fs)
	}
}

func flip2([]byte) []byte { return []byte("x") }

// Damage is met as ErrCorrupt wherever it is read, and never passed on.
func TestDamageIsNotPassedOn(t *testing.T) {
	s := wellUsed(t)
	c := logtest.NewCrew(2)
	d := c.Devices[1].ID
	k := seqKey(spaceEntry, c.Farm, d.Log(), 6)
	value, closer, err := s.eng.db.Get(k)
	if err != nil {
		t.Fatal(err)
	}
	bad := bytes.Clone(value)
	if err := closer.Close(); err != nil {
		t.Fatal(err)
	}
	bad[len(bad)-2] ^= 4
	raw(t, s, k, bad)
	l := s.farms[c.Farm]
	if _, _, err := l.Runs(d.Log(), 1, 1<<20); !isCorrupt(err, k) {
		t.Errorf("runs: error %v", err)
	}
	if err := l.Each(nil, func(entry.Entry) error { return nil }); !isCorrupt(err, k) {
		t.Errorf("each: error %v", err)
	}
}

func isCorrupt(err error, key []byte) bool {
	return err != nil && bytes.Contains([]byte(err.Error()), []byte(describe(key)))
}

func TestVerifyTellsOfProgress(t *testing.T) {
	s := wellUsed(t)
	var last, total uint64
	r := logtest.Must(s.Verify(func(d, n uint64) { last, total = d, n }))(t)
	if r.Entries != 19 || last != 19 || total != 19 {
		t.Errorf("%d entries, progress %d of %d", r.Entries, last, total)
	}
	c := logtest.NewCrew(2)
	one := logtest.Must(s.farms[c.Farm].Verify(nil))(t)
	if one.Entries != 19 || len(one.Faults) > 0 {
		t.Errorf("one farm: %+v", one)
	}
}
