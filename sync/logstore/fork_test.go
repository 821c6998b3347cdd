package logstore_test

import (
	"errors"
	"slices"
	"testing"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/logstore"
	"turnrow/sync/logstore/logtest"
)

// What a forked device's other branch said can be read, also after opening
// again, and is not among the record's own entries.
func TestForksAreKeptAndRead(t *testing.T) {
	fs := vfs.NewMem()
	c := logtest.NewCrew(1)
	d := c.Devices[0].ID
	open := func(name string) (*logstore.Store, *logstore.Log) {
		s := logtest.Must(logstore.Open(name, logstore.Options{FS: fs}))(t)
		return s, logtest.Must(s.Farm(c.Farm))(t)
	}
	s, l := open("here")
	c.Join(t, l, 0)
	c.Write(t, l, 0, logtest.Notes(3)...)
	_, copied := open("copied")
	logtest.Must(copied.Take(logtest.Runs(t, l, d, 1, exchange.MaxRun)))(t)
	ours := c.Write(t, l, 0, logtest.Note("here"))
	theirs := c.Write(t, copied, 0, logtest.Note("there"), logtest.Note("and again"))

	taken := logtest.Must(l.Take(logtest.Runs(t, copied, d, 1, exchange.MaxRun)))(t)
	var fork *chain.ForkError
	if len(taken.Refused) != 1 || !errors.As(taken.Refused[0].Err, &fork) || !errors.Is(fork, exchange.ErrFork) || string(fork.Ours) == string(fork.Theirs) {
		t.Fatalf("refused %v", taken.Refused)
	}
	check(t, s.Close())
	s, l = open("here")
	forks := logtest.Must(l.Forks())(t)
	if len(forks) != 1 || forks[0].Device != d || forks[0].First != 5 || forks[0].Unread != nil || len(forks[0].Entries) != 2 {
		t.Fatalf("forks %+v", forks)
	}
	for i, e := range forks[0].Entries {
		if e.ID != theirs[i].ID || e.Body.(*entry.Noted).Text != theirs[i].Body.(*entry.Noted).Text || e.Clock != theirs[i].Clock {
			t.Errorf("entry %d of the branch is %+v, was %+v", i, e, theirs[i])
		}
	}
	all := logtest.All(t, l)
	if len(all) != 5 || all[4].Body.(*entry.Noted).Text != ours[0].Body.(*entry.Noted).Text {
		t.Errorf("the record has %d entries", len(all))
	}
	whole(t, s)
	check(t, s.Close())
}

// So many branches of one log are kept as they come, a branch of a branch among
// them; then only what somebody named, or what leads to it. What is kept stays.
func TestForksAreBounded(t *testing.T) {
	fs := vfs.NewMem()
	c := logtest.NewCrew(1)
	d := c.Devices[0].ID
	s := logtest.Must(logstore.Open("here", logstore.Options{FS: fs}))(t)
	l := logtest.Must(s.Farm(c.Farm))(t)
	c.Join(t, l, 0)
	c.Write(t, l, 0, logtest.Note("here"))
	var wanted []entry.Mark
	l.NamedBy(func(entry.DeviceID) (held, _ []entry.Mark) { return nil, wanted })
	var kept []entry.LogID
	before := l // each copy is one of the one before, taken an entry before its end: a branch of a branch
	const n = exchange.MaxForks + 3
	for i := range n {
		copied := logtest.Must(logtest.Must(logstore.Open(string(rune('a'+i)), logstore.Options{FS: fs}))(t).Farm(c.Farm))(t)
		h, _ := before.Head(d)
		for _, r := range logtest.Runs(t, before, d, 1, 1) {
			if r.Last() < h.Seq {
				logtest.Must(copied.Take([]entry.Run{r}))(t)
			}
		}
		c.Write(t, copied, 0, logtest.Note("%d", i))
		if i == n-1 { // an entry that waits names what comes after it
			h, _ := copied.Head(d)
			wanted = []entry.Mark{{Log: d.Log(), Seq: h.Seq + 1, Hash: entry.Brief{1}}}
		}
		if c.Write(t, copied, 0, logtest.Note("%d more", i)); i < exchange.MaxForks || i == n-1 {
			kept = append(kept, name(t, copied, d))
		}
		taken := logtest.Must(l.Take(logtest.Runs(t, copied, d, 1, exchange.MaxRun)))(t)
		if len(taken.Refused) != 1 || !errors.Is(taken.Refused[0].Err, chain.ErrFork) {
			t.Fatalf("refused %v", taken.Refused)
		}
		if full := len(l.Full()) > 0; full != (i >= exchange.MaxForks-1) {
			t.Errorf("with %d branches: full %t", i+1, full)
		}
		if i < exchange.MaxForks-1 {
			before = copied
		}
	}
	forks := logtest.Must(l.Forks())(t)
	var got []entry.LogID
	for _, f := range forks {
		got = append(got, f.Branch)
		if f.Unread != nil || len(f.Entries) != 2 {
			t.Errorf("a branch from %d: %d entries, %v", f.First, len(f.Entries), f.Unread)
		}
	}
	slices.SortFunc(got, entry.LogID.Compare)
	slices.SortFunc(kept, entry.LogID.Compare)
	if !slices.Equal(got, kept) {
		t.Errorf("kept\n%v\nwant\n%v", got, kept)
	}
	whole(t, s)
}

// name is a log's name as a branch that parts before its last entry but one.
func name(t *testing.T, l *logstore.Log, d entry.DeviceID) entry.LogID {
	t.Helper()
	runs := logtest.Runs(t, l, d, 1, 1)
	var hash entry.Hash
	h, _ := l.Head(d)
	hash = entry.FirstHash(h.Farm, d)
	for _, r := range runs {
		for i, raw := range r.Entries {
			if hash = entry.NextHash(hash, raw); r.First+uint64(i) == h.Seq-1 {
				return chain.Branch(hash)
			}
		}
	}
	t.Fatal("no such entry")
	return entry.LogID{}
}

// Two that each keep as many branches of a log as they come, and not the same,
// send each other no more of them than others had named.
func TestFullLogsOweOnlyWhatIsNamed(t *testing.T) {
	fs := vfs.NewMem()
	c := logtest.NewCrew(1)
	d := c.Devices[0].ID
	open := func(name string) *logstore.Log {
		return logtest.Must(logtest.Must(logstore.Open(name, logstore.Options{FS: fs}))(t).Farm(c.Farm))(t)
	}
	first := open("first")
	c.Join(t, first, 0)
	full := func(who string) *logstore.Log {
		l := open(who)
		for i := range exchange.MaxForks + 1 {
			copied := open(who + string(rune('a'+i)))
			logtest.Must(copied.Take(logtest.Runs(t, first, d, 1, exchange.MaxRun)))(t)
			c.Write(t, copied, 0, logtest.Note("%s %d", who, i))
			logtest.Must(l.Take(logtest.Runs(t, copied, d, 1, exchange.MaxRun)))(t)
		}
		return l
	}
	here, there := full("here"), full("there")
	own, _ := here.Head(d)
	for _, named := range []chain.Frontier{nil, {own.Mark()}} {
		here.NamedBy(func(entry.DeviceID) (held, wanted []entry.Mark) { return named, nil })
		runs, more, err := exchange.Missing(here, exchange.Have(there), exchange.MaxBatch)
		if err != nil || more || len(runs) != len(named) || len(runs) > 0 && runs[0].Last() != own.Seq {
			t.Errorf("%d named: %d runs are missing, more %t, %v", len(named), len(runs), more, err)
		}
	}
	if runs, _, err := exchange.Missing(here, exchange.Have(first), exchange.MaxBatch); err != nil || len(runs) < exchange.MaxForks+1 {
		t.Errorf("who has none lacks %d runs, %v", len(runs), err)
	}
}
