package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// 2.5 ac are 2.5 on a counter of acres, 1.0117 on one of hectares (an acre is
// 0.40468564224 ha, NIST Handbook 44, Appendix C), 325 turns at 130 to the acre.
func TestReadingAfter(t *testing.T) {
	more, _ := units.AreaFromAcres(2.5)
	for kind, want := range map[entry.CounterKind]units.Reading{
		entry.CountsAcres: 212_600 + 2500, entry.CountsHectares: 212_600 + 1012, entry.CountsTurns: 212_600 + 325_000,
	} {
		d := &farm.Drill{Counter: kind, CounterTurns: 130_000, Reading: &farm.Reading{Reading: 212_600}}
		if got, ok := d.ReadingAfter(more); !ok || got != want {
			t.Errorf("counter %d: %v, %v; want %v", kind, got, ok, want)
		}
		if back := d.AreaOf(want - 212_600); back.Acres() < 2.499 || back.Acres() > 2.501 {
			t.Errorf("counter %d: %v on it is %v ac, want 2.5", kind, want-212_600, back.Acres())
		}
	}
	if _, ok := (&farm.Drill{Counter: entry.CountsAcres}).ReadingAfter(more); ok {
		t.Error("a counter that nobody read")
	}
}

// 533.4 turns to the acre are 11 whole turns to a fiftieth of it.
func TestUsualRun(t *testing.T) {
	d := &farm.Drill{WheelTurns: 533_388, Rows: 16}
	if run, ok := d.UsualRun(nil); !ok || run.Turns != 11_000 || run.Rows != 16 {
		t.Errorf("the usual run is %+v, %v", run, ok)
	}
	if run, _ := d.UsualRun(&entry.Caught{Turns: 27_000, Rows: 4, Lot: entry.ID{Seq: 3}}); run.Turns != 27_000 || run.Rows != 4 || run.Lot.Seq != 0 {
		t.Errorf("after a catch the usual run is %+v", run)
	}
	if _, ok := (&farm.Drill{}).UsualRun(nil); ok {
		t.Error("a run of a drill that nobody knows")
	}
}
