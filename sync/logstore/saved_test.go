package logstore

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/logstore/logtest"
)

// begun is a store with the log of one device, which has written one entry.
func begun(t *testing.T) (*Store, *Log, *logtest.Crew) {
	t.Helper()
	s := logtest.Must(Open("a", Options{FS: vfs.NewMem()}))(t)
	t.Cleanup(func() { _ = s.Close() })
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	return s, l, c
}

// A saved fold of which a part is damaged or gone says so while it is read:
// what was read of it is not to be used, and the log has everything.
func TestSavedFoldWithAPartAmiss(t *testing.T) {
	s, l, c := begun(t)
	fold := bytes.Repeat([]byte("seed"), 50_000)
	part := foldKey(c.Farm, 1)
	for name, spoil := range map[string]func() []byte{
		"gone":         func() []byte { return nil },
		"of another":   func() []byte { return sealed(t, foldKey(c.Farm, 2), fold[:foldPart]) },
		"changed":      func() []byte { v := sealed(t, part, fold[:foldPart]); v[100] ^= 1; return v },
		"cut off":      func() []byte { return sealed(t, part, fold[:foldPart])[:3] },
		"whole, first": nil,
	} {
		if err := l.SaveFold(l.Frontier(), l.Heads(), fold); err != nil {
			t.Fatal(err)
		}
		if spoil != nil {
			raw(t, s, part, spoil())
		}
		_, r, err := l.Fold()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(r)
		if spoil == nil && (err != nil || !bytes.Equal(got, fold)) {
			t.Errorf("%s: %d bytes, error %v", name, len(got), err)
		}
		if spoil != nil && !errors.Is(err, ErrCorrupt) {
			t.Errorf("%s: %d bytes, error %v", name, len(got), err)
		}
		if n, again := r.Read(make([]byte, 10)); n > 0 || spoil != nil && !errors.Is(again, ErrCorrupt) {
			t.Errorf("%s: read on, %d bytes, error %v", name, n, again)
		}
		if err := r.Close(); err != nil {
			t.Error(err)
		}
		if fs := faults(t, s); spoil != nil && name != "gone" && !named(fs, part) {
			t.Errorf("%s: verifying finds %v", name, fs)
		}
	}
}

// sealed is a payload with its checksum, as it lies under a key.
func sealed(t testing.TB, key, payload []byte) []byte {
	t.Helper()
	b := new(pebble.Batch)
	if err := put(b, key, payload); err != nil {
		t.Fatal(err)
	}
	r := b.Reader()
	_, _, value, ok, err := r.Next()
	if !ok || err != nil {
		t.Fatal(err)
	}
	return bytes.Clone(value)
}

// A fold that an older version kept, all under one key, is passed over.
func TestSavedFoldOfAnOlderVersion(t *testing.T) {
	s, l, c := begun(t)
	h := l.Heads()[0]
	old := appendHead(append([]byte{1}, h.Log[:]...), &h)
	key := farmKey(spaceFold, c.Farm)
	raw(t, s, key, sealed(t, key, append(old, "turnrow fold 1\n and so on"...)))
	if heads, fold, err := l.Fold(); heads != nil || fold != nil || err != nil {
		t.Errorf("heads %v, fold %v, error %v", heads, fold, err)
	}
	if fs := faults(t, s); len(fs) > 0 {
		t.Errorf("verifying finds %v", fs)
	}
}

// A fold may be read while the next is kept, and does not change under whoever
// reads it.
func TestSavedFoldReadWhileTheNextIsKept(t *testing.T) {
	_, l, _ := begun(t)
	keep := func(word string) []byte {
		t.Helper()
		fold := bytes.Repeat([]byte(word), 50_000)
		if err := l.SaveFold(l.Frontier(), l.Heads(), fold); err != nil {
			t.Fatal(err)
		}
		return fold
	}
	old := keep("old!")
	_, r, err := l.Fold()
	if err != nil {
		t.Fatal(err)
	}
	keep("new")
	got, err := io.ReadAll(r)
	if !bytes.Equal(got, old) || errors.Join(err, r.Close()) != nil {
		t.Errorf("%d bytes, error %v", len(got), err)
	}
}
