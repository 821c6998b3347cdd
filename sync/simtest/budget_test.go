package simtest_test

import (
	"errors"
	"strings"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
	"turnrow/sync/simtest"
	"turnrow/sync/simtest/workload"
)

// crowded is a farm of an owner and one device, and a replica of it whose clock
// stands at wall.
func crowded(t *testing.T, wall *int64) (*workload.Farm, *replica.Replica) {
	t.Helper()
	f, err := workload.NewFarm("Upper Lea", 1)
	if err != nil {
		t.Fatal(err)
	}
	r, err := replica.Open(f.ID, exchange.Generation{1}, simtest.NewMemory(f.ID))
	if err != nil {
		t.Fatal(err)
	}
	r.Clock(func() int64 { return *wall })
	if taken, err := r.Take(f.Start); err != nil || len(taken.Refused) > 0 {
		t.Fatal(err, taken.Refused)
	}
	return f, r
}

// A member's device that writes without end fills nobody's phone: what goes
// beyond its budget is refused, told, and taken another day. Holds are heard
// beyond it.
func TestOneDeviceCannotFillTheOthers(t *testing.T) {
	const day = 24 * 60 * 60 * 1000
	wall := int64(workload.Begin)
	f, r := crowded(t, &wall)
	w := f.Writers[1]
	flood := func() error {
		run, err := w.Run(entry.Draft{Wall: wall, Body: &entry.Noted{Text: strings.Repeat("x", entry.MaxText)}})
		if err != nil {
			t.Fatal(err)
		}
		taken, err := r.Take([]entry.Run{run})
		if err != nil {
			t.Fatal(err)
		}
		if len(taken.Refused) > 0 {
			return taken.Refused[0].Err
		}
		return nil
	}
	back := *w
	n := 0
	for ; n < 1000; n++ {
		back = *w
		back.Head = w.Head.Clone()
		if err := flood(); errors.Is(err, exchange.ErrBudget) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if stored := n * entry.MaxText; stored > exchange.DayBytes || stored < exchange.DayBytes/2 {
		t.Errorf("%d bytes were stored in a day, of %d", stored, exchange.DayBytes)
	}
	*w = back // what was refused is its writer's to keep; here it writes something else
	hold, err := w.Run(entry.Draft{Wall: wall, Body: &entry.HoldRaised{Why: strings.Repeat("stop ", 2000)}})
	if err != nil {
		t.Fatal(err)
	}
	if taken, err := r.Take([]entry.Run{hold}); err != nil || len(taken.Refused) > 0 || len(taken.Entries) != 1 {
		t.Errorf("a hold beyond the budget: %v %v", err, taken.Refused)
	}
	wall += day
	if err := flood(); err != nil {
		t.Errorf("the day after: %v", err)
	}
}

// Entries about rights have a budget of their own, which all replicas hold alike
// however these come: they are weighed against each other. Stops are heard beyond
// it, and the day after goes on.
func TestRightsHaveABudgetOfTheirOwn(t *testing.T) {
	const day = 24 * 60 * 60 * 1000
	wall := int64(workload.Begin)
	f, r := crowded(t, &wall)
	_, other := crowded(t, &wall)
	w := f.Writers[0]
	take := func(r *replica.Replica, runs ...entry.Run) (why error) {
		t.Helper()
		taken, err := r.Take(runs)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range taken.Refused {
			why = errors.Join(why, x.Err)
		}
		return why
	}
	write := func(bodies ...entry.Body) entry.Run {
		t.Helper()
		var drafts []entry.Draft
		for _, b := range bodies {
			drafts = append(drafts, entry.Draft{Wall: wall, Body: b})
		}
		run, err := w.Run(drafts...)
		if err != nil {
			t.Fatal(err)
		}
		return run
	}
	back := *w
	var kept []entry.Run
	for i := 0; ; i++ {
		back = *w
		back.Head = w.Head.Clone()
		run := write(&entry.MemberAdded{Name: "Ben", Role: entry.Helper}, &entry.Noted{Text: "let in"})
		if err := take(r, run); errors.Is(err, exchange.ErrRights) {
			break
		} else if err != nil || i > exchange.DayRights {
			t.Fatalf("entry %d: %v", i, err)
		}
		kept = append(kept, run)
	}
	if n := len(kept); n > exchange.DayRights || n < exchange.DayRights/2 {
		t.Errorf("%d entries about rights were taken in a day", n)
	}
	if err := take(other, kept...); err != nil || other.Digest() != r.Digest() {
		t.Errorf("another replica, all at once: %v", err)
	}
	*w = back // what was refused is its writer's to keep; here it writes something else
	stop := write(&entry.DeviceStopped{Last: entry.Mark{Log: f.Writers[1].Head.Log}, Why: "it lies"}, &entry.Noted{Text: "at last"})
	if err := errors.Join(take(r, stop), take(other, stop)); err != nil {
		t.Errorf("a stop beyond the budget: %v", err)
	}
	more := write(&entry.MemberAdded{Name: "Cleo", Role: entry.Helper})
	if err := take(r, more); !errors.Is(err, exchange.ErrRights) {
		t.Errorf("one more: %v", err)
	}
	wall += day
	if err := errors.Join(take(r, more), take(other, more)); err != nil || other.Digest() != r.Digest() {
		t.Errorf("the day after: %v", err)
	}
}

// A new phone takes a season at once: days that a device did not use add up.
func TestASeasonFitsAtOnce(t *testing.T) {
	const day = 24 * 60 * 60 * 1000
	entries, bytes, _ := exchange.Budget(0, 30*day)
	if entries < 30*exchange.DayEntries || bytes < 30*exchange.DayBytes {
		t.Errorf("%d entries and %d bytes after 30 days", entries, bytes)
	}
	if entries, _, _ := exchange.Budget(0, -400*day); entries != exchange.DayEntries {
		t.Errorf("%d entries where the clock of who let it in was wrong", entries)
	}
}

// The branches of a log share its budget: a device that goes on from copies of
// itself stores no more than one that does not.
func TestBranchesShareABudget(t *testing.T) {
	wall := int64(workload.Begin)
	f, r := crowded(t, &wall)
	w := f.Writers[1]
	stored := 0
	for branch := range 3 {
		copied := *w
		copied.Head = w.Head.Clone()
		for n := range 20_000 {
			run, err := copied.Run(entry.Draft{Wall: wall, Body: &entry.Noted{Text: strings.Repeat(string(rune('a'+branch)), entry.MaxText)}})
			if err != nil {
				t.Fatal(err)
			}
			taken, err := r.Take([]entry.Run{run})
			if err != nil {
				t.Fatal(err)
			}
			if len(taken.Refused) > 0 && errors.Is(taken.Refused[0].Err, exchange.ErrBudget) || n == 200 {
				break
			}
			stored += run.Size()
		}
	}
	if stored > exchange.DayBytes+entry.MaxText || stored < exchange.DayBytes/2 {
		t.Errorf("%d bytes were stored in a day, of %d", stored, exchange.DayBytes)
	}
}

// A device that shows one branch of its log here, to the last byte of its budget,
// and another elsewhere, keeps nobody's entries waiting who named that one: it is
// taken beyond the budget, and nothing else is.
func TestWhatOthersNamedIsTakenBeyondABudget(t *testing.T) {
	wall := int64(workload.Begin)
	f, here := crowded(t, &wall)
	_, there := crowded(t, &wall)
	owner, liar := f.Writers[0], f.Writers[1]
	note := func(w *workload.Writer, text string, seen ...entry.Mark) entry.Run {
		run, err := w.Run(entry.Draft{Wall: wall, Seen: seen, Body: &entry.Noted{Text: text}})
		if err != nil {
			t.Fatal(err)
		}
		return run
	}
	take := func(r *replica.Replica, run entry.Run) error {
		taken, err := r.Take([]entry.Run{run})
		if err != nil || len(taken.Refused) == 0 || errors.Is(taken.Refused[0].Err, chain.ErrFork) {
			return err // a branch is kept, and told
		}
		return taken.Refused[0].Err
	}
	other, third := *liar, *liar
	other.Head, third.Head = liar.Head.Clone(), liar.Head.Clone()
	for size := entry.MaxText; size > 0; {
		back := *liar
		back.Head = liar.Head.Clone()
		if err := take(here, note(liar, strings.Repeat("x", size))); errors.Is(err, exchange.ErrBudget) {
			*liar, size = back, size/2
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if err := take(here, note(&third, "uses up what is left")); err != nil {
		t.Fatal(err)
	}
	shown := note(&other, "shown elsewhere")
	if err := take(there, shown); err != nil {
		t.Fatal(err)
	}
	if err := take(here, shown); !errors.Is(err, exchange.ErrBudget) {
		t.Fatalf("beyond the budget, and named by nobody: %v", err)
	}
	after := note(owner, "after that", there.Frontier().Mark(liar.Head.Log))
	if err := errors.Join(take(there, after), take(here, after)); err != nil {
		t.Fatal(err)
	}
	if n := here.View().Waiting; n != 1 {
		t.Fatalf("%d entries wait for the branch, want 1", n)
	}
	if err := take(here, shown); err != nil || here.View().Waiting > 0 {
		t.Errorf("what the owner named: %v, and %d entries wait still", err, here.View().Waiting)
	}
	if err := take(here, note(&other, "named by nobody")); !errors.Is(err, exchange.ErrBudget) {
		t.Errorf("what nobody named: %v", err)
	}
}

// So many in one call are held against the budget together.
func TestACallBringsNoMoreRightsThanADay(t *testing.T) {
	wall := int64(workload.Begin)
	f, r := crowded(t, &wall)
	var runs []entry.Run
	for range exchange.DayRights + 20 {
		run, err := f.Writers[0].Run(entry.Draft{Wall: wall, Body: &entry.MemberAdded{Name: "Ben", Role: entry.Helper}})
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, run)
	}
	taken, err := r.Take(runs)
	if n := len(taken.Entries); err != nil || n > exchange.DayRights || n < exchange.DayRights/2 {
		t.Errorf("%d entries about rights were taken in a call, %v", n, err)
	}
	if len(taken.Refused) == 0 || !errors.Is(taken.Refused[0].Err, exchange.ErrRights) {
		t.Errorf("refused %v", taken.Refused)
	}
}
