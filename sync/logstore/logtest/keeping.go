package logtest

import (
	"bytes"
	"errors"
	"io"
	"reflect"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// saved: folds, peers' frontiers and settings are there after opening again.
func (s suite) saved(t *testing.T) {
	c := NewCrew(2)
	st := s.start(t, "a")
	l := Must(st.Farm(c.Farm))(t)
	if heads, fold, err := l.Fold(); heads != nil || fold != nil || err != nil {
		t.Fatalf("an unsaved fold: %v %v %v", heads, fold, err)
	}
	if v, err := st.Setting("none"); v != nil || err != nil {
		t.Fatalf("an unset setting: %v %v", v, err)
	}
	c.Join(t, l, 0)
	c.Join(t, l, 1)
	c.Write(t, l, 0, Notes(3)...)
	heads, fold := l.Heads(), bytes.Repeat([]byte("the state of the farm"), 20_000)
	check(t, l.SaveFold(l.Frontier(), heads, fold))
	check(t, l.SetPeer("server", l.Frontier()))
	check(t, l.SetPeer("server 2", l.Frontier()[:1]))
	check(t, st.SetSettings(map[string][]byte{"name": []byte("tablet"), "empty": {}, "gone": []byte("x")}))
	check(t, st.SetSettings(map[string][]byte{"gone": nil}))
	generation := st.Generation()
	c.Write(t, l, 0, Notes(2)...)
	check(t, st.Close())

	st = s.open(t, "a")
	l = Must(st.Farm(c.Farm))(t)
	gotHeads, gotFold := Folded(t, l)
	if !reflect.DeepEqual(gotHeads, heads) || !bytes.Equal(gotFold, fold) {
		t.Errorf("fold of %d bytes with %v", len(gotFold), gotHeads)
	}
	check(t, l.SaveFold(l.Frontier(), l.Heads(), fold[:5]))
	if _, got := Folded(t, l); !bytes.Equal(got, fold[:5]) {
		t.Errorf("a shorter fold in place of a longer one: %d bytes", len(got))
	}
	if got := All(t, l, gotHeads...); len(got) != 2 {
		t.Errorf("%d entries beyond the fold", len(got))
	}
	for name, want := range map[string]int{"server": 2, "server 2": 1, "nobody": 0} {
		if got := Must(l.Peer(name))(t); len(got) != want || want > 0 && got[0] != (chain.Mark{Log: c.Devices[0].ID.Log(), Seq: 4, Hash: got[0].Hash}) {
			t.Errorf("peer %q at %v", name, got)
		}
	}
	for key, want := range map[string][]byte{"name": []byte("tablet"), "empty": {}, "gone": nil} {
		if got := Must(st.Setting(key))(t); !reflect.DeepEqual(got, want) {
			t.Errorf("setting %s is %v, want %v", key, got, want)
		}
	}
	if st.Generation() != generation || generation == ([16]byte{}) {
		t.Errorf("generation %x was %x", st.Generation(), generation)
	}
	if s.open(t, "b").Generation() == generation {
		t.Error("two stores of one generation")
	}
	whole(t, st)
}

// Folded is a saved fold, read to its end; nothing where there is none.
func Folded(t testing.TB, l Log) ([]chain.Head, []byte) {
	t.Helper()
	heads, r, err := l.Fold()
	check(t, err)
	if r == nil {
		return nil, nil
	}
	fold, err := io.ReadAll(r)
	check(t, errors.Join(err, r.Close()))
	return heads, fold
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// foldOfOthers: a fold that stands for entries which are not stored is not
// given back, and one that claims effects beyond its entries is not kept.
func (s suite) foldOfOthers(t *testing.T) {
	c := NewCrew(1)
	a, b := s.farm(t, "a", c), s.farm(t, "b", c)
	c.Join(t, a, 0)
	c.Write(t, a, 0, Note("one"), Note("two"))
	c.Join(t, b, 0)
	c.Write(t, b, 0, Note("another"), Note("day"))
	for _, heads := range [][]chain.Head{a.Heads(), {{Farm: c.Farm, Log: entry.LogID{5}, Seq: 1, Peers: []entry.LogID{{5}}, Seen: []uint64{0}}}} {
		check(t, b.SaveFold(nil, heads, []byte("x")))
		if got, fold, err := b.Fold(); got != nil || fold != nil || err != nil {
			t.Errorf("a fold with %v, error %v", got, err)
		}
	}
	if err := b.SaveFold(chain.Frontier{{Log: c.Devices[0].ID.Log(), Seq: 4}}, b.Heads(), nil); err == nil {
		t.Error("a fold with effects beyond its entries was kept")
	}
}

// farmsApart: farms in one store do not see each other, and one device can
// write on two.
func (s suite) farmsApart(t *testing.T) {
	st := s.open(t, "a")
	one, two := NewCrew(1), NewCrew(1)
	two.Devices[0] = NewDevice(9)
	two.Farm = entry.FoundedBy(two.Devices[0].ID, two.Devices[0].Public(), paper)
	two.Devices = append(two.Devices, one.Devices[0])
	if got := Must(st.Farms())(t); len(got) != 0 {
		t.Fatalf("farms %v", got)
	}
	l1, l2 := Must(st.Farm(one.Farm))(t), Must(st.Farm(two.Farm))(t)
	one.Join(t, l1, 0)
	one.Write(t, l1, 0, Notes(3)...)
	two.Join(t, l2, 0)
	two.Join(t, l2, 1)
	if a, b := len(All(t, l1)), len(All(t, l2)); a != 4 || b != 2 {
		t.Fatalf("%d and %d entries", a, b)
	}
	check(t, l1.SetPeer("p", l1.Frontier()))
	if got := Must(l2.Peer("p"))(t); len(got) != 0 {
		t.Fatalf("a peer of the other farm: %v", got)
	}
	if got := Must(st.Farms())(t); len(got) != 2 {
		t.Fatalf("farms %v", got)
	}
	whole(t, st)
}
