package farm_test

import (
	"runtime"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/simtest/workload"
	"turnrow/sync/wire"
)

// What the fold costs in memory, which is the same on every machine, however
// busy. A bound here is about a tenth above what it was when it was set.
func TestMemoryOfTheFold(t *testing.T) {
	const n = 20_000
	id, es := ofWorkload(t, n)
	var st *farm.State
	before := heap()
	allocations := testing.AllocsPerRun(1, func() {
		st = farm.New(id)
		st.Apply(es...)
	}) / n
	held := float64(int64(heap()-before)) / n
	view := testing.AllocsPerRun(1, func() {
		st = farm.New(id)
		st.Apply(es...)
		st.View()
	})/n - allocations
	runtime.KeepAlive(es)
	t.Logf("for each entry %.2f allocations and %.0f bytes held, and %.2f allocations for the view", allocations, held, view)
	if allocations > 0.06 || held > 250 || view > 1.8 {
		t.Errorf("for each entry %.2f allocations (at most 0.06) and %.0f bytes held (250), and %.2f for the view (1.8)", allocations, held, view)
	}
}

// What opening from a saved state costs: its bytes on the disk, and what reading
// it allocates, which is nearly all texts.
func TestCostOfASavedFold(t *testing.T) {
	const n = 20_000
	id, es := ofWorkload(t, n)
	st := farm.New(id)
	st.Apply(es...)
	saved := wire.SaveFold(st)
	var again *farm.State
	allocations := testing.AllocsPerRun(1, func() { again = reloaded(t, st) })
	allocations = (allocations - testing.AllocsPerRun(1, func() { saved = wire.SaveFold(st) })) / n
	size := float64(len(saved)) / n
	t.Logf("for each entry %.1f bytes saved, %.2f allocations to read it", size, allocations)
	if size > 55 || allocations > 1.25 {
		t.Errorf("for each entry %.1f bytes saved (at most 55), %.2f allocations to read it (1.25)", size, allocations)
	}
	if again.Digest() != st.Digest() {
		t.Error("another state")
	}
}

// ofWorkload is a farm's entries in the total order: its setting up, and n lines
// of the workload.
func ofWorkload(t testing.TB, n int) (entry.FarmID, []entry.Entry) {
	t.Helper()
	f, err := workload.NewFarm("Upper Lea", workload.Devices)
	if err != nil {
		t.Fatal(err)
	}
	runs, err := f.Lines(n)
	if err != nil {
		t.Fatal(err)
	}
	return f.ID, opened(t, f.ID, append(f.Start, runs...))
}
