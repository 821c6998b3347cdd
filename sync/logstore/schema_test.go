package logstore

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"testing"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/logstore/logtest"
)

// note is a step that keeps a note of itself.
func note(name string) step {
	return func(_ *pebble.DB, b *pebble.Batch) error { return put(b, nameKey(spaceSetting, name), []byte(name)) }
}

func openWith(fs vfs.FS, steps ...step) (*Store, error) {
	return openAt("store", Options{FS: fs}, steps)
}

// An older store is brought forward, each step once, and opens as before then.
func TestOlderStoreIsBroughtForward(t *testing.T) {
	fs := vfs.NewMem()
	c := logtest.NewCrew(1)
	s := logtest.Must(openWith(fs))(t)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	generation := s.Generation()
	check(t, s.Close())

	trouble := errors.New("no")
	failing := func(*pebble.DB, *pebble.Batch) error { return trouble }
	if _, err := openWith(fs, note("to 2"), failing); !errors.Is(err, trouble) {
		t.Fatalf("a failing step gives %v", err)
	}
	ran := 0
	counted := func(db *pebble.DB, b *pebble.Batch) error { ran++; return note("to 2")(db, b) }
	s = logtest.Must(openWith(fs, counted, note("to 3")))(t)
	if ran != 0 {
		t.Error("a step was taken again")
	}
	for _, name := range []string{"to 2", "to 3"} {
		if got := logtest.Must(s.Setting(name))(t); string(got) != name {
			t.Errorf("step %q left %q", name, got)
		}
	}
	if got := logtest.All(t, logtest.Must(s.Farm(c.Farm))(t)); len(got) != 1 || s.Generation() != generation {
		t.Errorf("%d entries, generation %x", len(got), s.Generation())
	}
	check(t, s.Close())
}

// A newer store is refused, and not a byte of it has changed.
func TestNewerStoreIsRefusedUntouched(t *testing.T) {
	fs := vfs.NewMem()
	s := logtest.Must(openWith(fs, note("to 2")))(t)
	check(t, s.SetSettings(map[string][]byte{"a": []byte("b")}))
	check(t, s.Close())
	before := contents(t, fs)
	if _, err := openWith(fs); !errors.Is(err, ErrNewer) {
		t.Fatalf("error %v", err)
	}
	if after := contents(t, fs); !slices.Equal(before, after) {
		t.Errorf("before %q\nafter %q", before, after)
	}
	check(t, logtest.Must(openWith(fs, note("to 2")))(t).Close())
}

// contents are the names, lengths and bytes of a store's files.
func contents(t *testing.T, fs vfs.FS) (all []string) {
	t.Helper()
	names := logtest.Must(fs.List("store"))(t)
	slices.Sort(names)
	for _, n := range names {
		f := logtest.Must(fs.Open("store/" + n))(t)
		all = append(all, fmt.Sprintf("%s %x", n, logtest.Must(io.ReadAll(f))(t)))
		check(t, f.Close())
	}
	return all
}

// A folder of something else, a torn version file and an unfinished backup are
// no stores, and are left alone.
func TestNotAStore(t *testing.T) {
	for name, text := range map[string]string{"photo.jpg": "pixels", schemaFile: "turnrow sto", "CURRENT": "MANIFEST-000001"} {
		fs := vfs.NewMem()
		check(t, fs.MkdirAll("store", 0o700))
		f := logtest.Must(fs.Create("store/"+name, vfs.WriteCategoryUnspecified))(t)
		logtest.Must(f.Write([]byte(text)))(t)
		check(t, f.Close())
		if _, err := openWith(fs); !errors.Is(err, ErrNotStore) {
			t.Errorf("%s: error %v", name, err)
		}
		if got := contents(t, fs); len(got) != 1 || !bytes.Contains([]byte(got[0]), []byte(name)) {
			t.Errorf("%s: the folder has %q", name, got)
		}
	}
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
