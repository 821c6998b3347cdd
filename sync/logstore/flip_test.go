package logstore_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// A flipped bit in any file of a closed store is met when opening or found by
// Verify, or else it did no harm: entries never go missing in silence.
func TestFlippedBitInAnyFile(t *testing.T) {
	dir := t.TempDir()
	s := logtest.Must(logstore.Open(dir+"/store", logstore.Options{}))(t)
	c := logtest.NewCrew(1)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	for range 40 {
		c.Write(t, l, 0, logtest.Note("%s", strings.Repeat("long ", 2000)), logtest.Note("short"))
	}
	check(t, s.Close()) // which turns the log into a table
	s = logtest.Must(logstore.Open(dir+"/store", logstore.Options{}))(t)
	l = logtest.Must(s.Farm(c.Farm))(t)
	c.Write(t, l, 0, logtest.Note("last but one"))
	c.Write(t, l, 0, logtest.Note("last"))
	check(t, s.Close())

	r := rand.New(rand.NewPCG(2, 7))
	results := map[string]int{}
	for n, name := range logtest.Must(filepath.Glob(dir + "/store/*"))(t) {
		kind := strings.TrimLeft(filepath.Base(name), "0123456789")
		data := logtest.Must(os.ReadFile(name))(t)
		for i := range 8 {
			if len(data) == 0 {
				break
			}
			copied := filepath.Join(dir, "copy", string(rune('a'+n))+string(rune('a'+i)))
			check(t, os.CopyFS(copied, os.DirFS(dir+"/store")))
			bad := append([]byte{}, data...)
			bad[r.IntN(len(bad))] ^= 1 << r.IntN(8)
			check(t, os.WriteFile(filepath.Join(copied, filepath.Base(name)), bad, 0o600))
			results[kind+" "+outcome(t, copied, c)]++
		}
	}
	for k, n := range results {
		t.Logf("%3d × %s", n, k)
		if !strings.HasSuffix(k, met) && !strings.HasSuffix(k, found) && !strings.HasSuffix(k, harmless) {
			t.Errorf("%d × %s", n, k)
		}
	}
}

// What may come of a flipped bit.
const (
	met      = "met when opening"
	found    = "found by Verify"
	harmless = "no harm"
)

func outcome(t *testing.T, dir string, c *logtest.Crew) string {
	s, err := logstore.Open(dir, logstore.Options{})
	if err != nil {
		if errors.Is(err, logstore.ErrCorrupt) || errors.Is(err, logstore.ErrNotStore) || errors.Is(err, logstore.ErrNewer) {
			return met
		}
		return strings.ReplaceAll(err.Error(), dir, "")
	}
	defer s.Close()
	rep, err := s.Verify(nil)
	if err != nil {
		return err.Error()
	}
	switch {
	case len(rep.Faults) > 0:
		return found
	case rep.Entries != 83:
		return "entries went missing in silence"
	}
	return harmless
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
