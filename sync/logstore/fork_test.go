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

// Only so many branches of one log are kept that nobody named: those of the least
// names, whichever came first. One that a whole log named is kept beyond them:
// whoever has the key cannot push it out.
func TestForksAreBounded(t *testing.T) {
	fs := vfs.NewMem()
	c := logtest.NewCrew(1)
	d := c.Devices[0].ID
	l := logtest.Must(logtest.Must(logstore.Open("here", logstore.Options{FS: fs}))(t).Farm(c.Farm))(t)
	c.Join(t, l, 0)
	first := logtest.Runs(t, l, d, 1, exchange.MaxRun)
	c.Write(t, l, 0, logtest.Note("here"))
	var wanted []entry.Mark
	l.Vouch(func(entry.DeviceID) ([]entry.DeviceID, []entry.Mark) { return nil, wanted })
	kept := func() (names []entry.DeviceID) {
		for _, f := range logtest.Must(l.Forks())(t) {
			names = append(names, f.Branch)
		}
		slices.SortFunc(names, entry.DeviceID.Compare)
		return names
	}
	const n = 3 * exchange.MaxForks
	var all []entry.DeviceID
	for i := range n {
		name := "copy " + string(rune('a'+i))
		copied := logtest.Must(logtest.Must(logstore.Open(name, logstore.Options{FS: fs}))(t).Farm(c.Farm))(t)
		logtest.Must(copied.Take(first))(t)
		c.Write(t, copied, 0, logtest.Note("%s", name))
		h, _ := copied.Head(d)
		all = append(all, chain.Branch(h.Hash))
		if i == n-1 { // an entry of a whole log that waits names it
			wanted = []entry.Mark{h.Mark()}
		}
		taken := logtest.Must(l.Take(logtest.Runs(t, copied, d, 2, exchange.MaxRun)))(t)
		if len(taken.Refused) != 1 || !errors.Is(taken.Refused[0].Err, chain.ErrFork) {
			t.Fatalf("refused %v", taken.Refused)
		}
	}
	named := all[n-1]
	want := slices.SortedFunc(slices.Values(all[:n-1]), entry.DeviceID.Compare)[:exchange.MaxForks]
	want = slices.SortedFunc(slices.Values(append(want, named)), entry.DeviceID.Compare)
	if got := kept(); !slices.Equal(got, want) {
		t.Errorf("kept\n%v\nwant\n%v", got, want)
	}
}
