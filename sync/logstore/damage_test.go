package logstore_test

import (
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

var (
	damages    = flag.Int("damages", 60, "random damages in TestRandomDamage")
	damageSeed = flag.Uint64("damageseed", 4, "of their chance")
)

// site is a store that others hold too, as it lies on disk.
type site struct {
	crew *logtest.Crew
	far  string            // of a replica that holds all
	dirs map[string]string // by how it ended
	was  chain.Frontier
}

// newSite has a phone write and take in what others wrote, over some sessions,
// and keeps its store as it is while it runs and once it has ended.
func newSite(t *testing.T, dir string) *site {
	s := &site{crew: logtest.NewCrew(3), dirs: map[string]string{}}
	s.far = dir + "/far"
	store := logtest.Must(logstore.Open(s.far, logstore.Options{}))(t)
	defer store.Close()
	far := logtest.Must(store.Farm(s.crew.Farm))(t)
	for session := range 3 {
		phone := logtest.Must(logstore.Open(dir+"/phone", logstore.Options{}))(t)
		l := logtest.Must(phone.Farm(s.crew.Farm))(t)
		if session == 0 {
			check(t, phone.SetSettings(map[string][]byte{"farm": s.crew.Farm[:]}))
			s.crew.Join(t, l, 0)
			s.crew.Join(t, far, 1)
			s.crew.Join(t, far, 2)
		}
		for n := range 6 {
			s.crew.Write(t, l, 0, logtest.Note("%d of %d %s", n, session, strings.Repeat("long ", 200)), logtest.Note("and"))
			s.crew.Write(t, far, 1+n%2, logtest.Notes(3)...)
			level(t, l, far)
		}
		check(t, l.SaveFold(l.Frontier(), l.Heads(), make([]byte, 50_000)))
		s.crew.Write(t, l, 0, logtest.Note("last of %d", session)) // which is synced, as the fold was not
		level(t, l, far)
		s.was = l.Frontier()
		if session == 2 {
			s.dirs["killed"] = dir + "/killed"
			check(t, os.CopyFS(s.dirs["killed"], os.DirFS(dir+"/phone")))
		}
		check(t, phone.Close())
	}
	s.dirs["closed"] = dir + "/phone"
	return s
}

// level brings two logs level.
func level(t testing.TB, a, b *logstore.Log) {
	t.Helper()
	for _, way := range [][2]*logstore.Log{{a, b}, {b, a}} {
		runs, _, err := exchange.Missing(way[0], way[1].Frontier(), exchange.MaxBatch)
		check(t, err)
		if taken := logtest.Must(way[1].Take(runs))(t); len(taken.Refused) > 0 {
			t.Errorf("not taken: %v", taken.Refused)
		}
	}
}

// harm does one random harm to one of the files, and says which.
func harm(t *testing.T, r *rand.Rand, dir string) (kind, what string) {
	files := map[string][]string{}
	for _, name := range logtest.Must(filepath.Glob(dir + "/*"))(t) {
		k := strings.Trim(filepath.Base(name), "0123456789-.")
		if k == "LOCK" {
			continue
		}
		files[k] = append(files[k], name)
	}
	kinds := slices.Sorted(maps.Keys(files))
	kind = kinds[r.IntN(len(kinds))]
	name := files[kind][r.IntN(len(files[kind]))]
	data := logtest.Must(os.ReadFile(name))(t)
	if len(data) == 0 || r.IntN(12) == 0 {
		check(t, os.Remove(name))
		return kind, "removed"
	}
	at := r.IntN(len(data))
	switch r.IntN(5) {
	default:
		data[at] ^= 1 << r.IntN(8)
		what = fmt.Sprintf("bit flipped at %d of %d", at, len(data))
	case 2:
		clear(data[at:min(at+512, len(data))])
		what = fmt.Sprintf("512 bytes cleared at %d of %d", at, len(data))
	case 3:
		for i := at; i < min(at+200, len(data)); i++ {
			data[i] = byte(r.Uint32())
		}
		what = fmt.Sprintf("200 bytes changed at %d of %d", at, len(data))
	case 4:
		data = data[:at]
		what = fmt.Sprintf("cut off at %d", at)
	}
	check(t, os.WriteFile(name, data, 0o600))
	return kind, what
}

// Whatever one harm does to whichever file, after an end or a kill: it is told,
// or all is as it was. After an exchange with a whole replica the store is
// level and writes on, and no number is used twice.
func TestRandomDamage(t *testing.T) {
	dir := t.TempDir()
	s := newSite(t, dir)
	r := rand.New(rand.NewPCG(*damageSeed, 14))
	results := map[string]int{}
	for n := range *damages {
		end := []string{"killed", "closed"}[n%2]
		hurt := filepath.Join(dir, "hurt", fmt.Sprint(n))
		check(t, os.CopyFS(hurt, os.DirFS(s.dirs[end])))
		kind, what := harm(t, r, hurt)
		at := fmt.Sprintf("%d, %s, %s %s", n, end, kind, what)
		result := s.outcome(t, hurt, at)
		results[fmt.Sprintf("%-6s %-16s %s", end, kind, result)]++
		if t.Failed() {
			t.Fatal(at)
		}
		check(t, os.RemoveAll(hurt))
	}
	for _, k := range slices.Sorted(maps.Keys(results)) {
		t.Logf("%3d × %s", results[k], k)
	}
}

func (s *site) outcome(t *testing.T, dir, at string) string {
	store, err := logstore.Open(dir, logstore.Options{})
	if err != nil {
		t.Errorf("%s: opening: %v", at, err)
		return "not opened"
	}
	d := logtest.Must(store.Damage())(t)
	rep := logtest.Must(store.Verify(nil))(t)
	result := "as before"
	if len(rep.Faults) > 0 && d == nil {
		result = "found by verify"
		check(t, store.Condemn())
		check(t, store.Close())
		if store, err = logstore.Open(dir, logstore.Options{}); err != nil {
			t.Errorf("%s: opening again: %v", at, err)
			return "not opened"
		}
		if d = logtest.Must(store.Damage())(t); d == nil {
			t.Errorf("%s: nothing is said of it when opened again", at)
		}
	} else if d != nil {
		result = "told when opening"
	}
	defer store.Close()
	if d != nil && d.Whole {
		result += ", nothing missing"
	}
	l := logtest.Must(store.Farm(s.crew.Farm))(t)
	if (d == nil || d.Whole) && !slices.Equal(l.Frontier(), s.was) {
		t.Errorf("%s: silent: %v, it was %v", at, l.Frontier(), s.was)
	}
	whole := filepath.Join(dir, "far")
	check(t, os.CopyFS(whole, os.DirFS(s.far)))
	other := logtest.Must(logstore.Open(whole, logstore.Options{}))(t)
	defer other.Close()
	s.goesOn(t, l, store, logtest.Must(other.Farm(s.crew.Farm))(t))
	return result
}

// goesOn brings a store level with a whole one, and has it write on.
func (s *site) goesOn(t *testing.T, l *logstore.Log, store *logstore.Store, far *logstore.Log) {
	me := s.crew.Devices[0]
	_, err := l.Record(me.Key, me.ID, logtest.Morning, nil, logtest.Note("before"))
	var behind *logstore.BehindError
	if err != nil && !errors.As(err, &behind) {
		t.Errorf("writing before the exchange: %v", err)
	}
	level(t, l, far)
	if l.Behind(me.ID) != nil {
		if err := store.Settle(); err != nil {
			t.Error(err)
		}
	}
	es := s.crew.Write(t, l, 0, logtest.Note("goes on"))
	if held := far.Frontier().Seq(me.ID.Log()); es[0].Seq <= held {
		t.Errorf("number %d is used twice: %d are held elsewhere", es[0].Seq, held)
	}
	level(t, l, far)
	if !slices.Equal(l.Frontier(), far.Frontier()) || len(far.Branches()) > 0 {
		t.Errorf("not level: %v and %v", l.Frontier(), far.Frontier())
	}
	if rep := logtest.Must(l.Verify(nil))(t); len(rep.Faults) > 0 {
		t.Errorf("afterwards: %v", rep.Faults)
	}
}

// Damage to the very last write that was acknowledged looks like one that a
// crash cut short, but for the mark.
func TestLastWriteIsNotTakenForATornOne(t *testing.T) {
	dir := t.TempDir()
	s := newSite(t, dir)
	logs := logtest.Must(filepath.Glob(s.dirs["killed"] + "/*.log"))(t)
	name := slices.Max(logs)
	data := logtest.Must(os.ReadFile(name))(t)
	end := len(strings.TrimRight(string(data), "\x00"))
	for _, torn := range []func(){
		func() { data[end-20] ^= 1; data[end-9] ^= 8 },
		func() { clear(data[end-30:]) },
	} {
		torn()
		check(t, os.WriteFile(name, data, 0o600))
		hurt := filepath.Join(t.TempDir(), "hurt")
		check(t, os.CopyFS(hurt, os.DirFS(s.dirs["killed"])))
		store := logtest.Must(logstore.Open(hurt, logstore.Options{}))(t)
		if d := logtest.Must(store.Damage())(t); d == nil || d.Whole || d.Writes == 0 {
			t.Errorf("the last write is gone, and told is %+v", d)
		}
		check(t, store.Close())
	}
}
