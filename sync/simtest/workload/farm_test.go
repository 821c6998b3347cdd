package workload

import (
	"fmt"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// carried is the line that an entry carries.
func carried(f *Farm, e entry.Entry) Line {
	b := e.Body.(*entry.Filled)
	d := slices.IndexFunc(f.Writers, func(w *Writer) bool { return w.Head.Log == e.Log }) - 1
	return Line{
		ID: fmt.Sprintf("d%d-%07d", d, e.Seq-2), Device: fmt.Sprint("dev-", d), Note: b.Note, Time: e.Wall,
		Person: fmt.Sprint("p", slices.Index(f.Things.Persons, e.Person)), Kind: kinds[slices.Index(f.Things.Lots, b.Lot)],
		Box: 1 + slices.Index(f.Things.Boxes, b.Box), Qty: float64(b.Bags) / 1000,
	}
}

// Every line comes back from its entry's bytes, and every entry counts.
func TestEntriesCarryTheLines(t *testing.T) {
	const n = 2000
	f, err := NewFarm("Test", Devices)
	if err != nil {
		t.Fatal(err)
	}
	starts := f.Start
	runs, err := f.Lines(n)
	if err != nil {
		t.Fatal(err)
	}
	s := farm.New(f.ID)
	got := map[string]Line{}
	for _, w := range f.Writers {
		for _, e := range opened(t, f, w.Device(), slices.Concat(starts, runs)) {
			s.Apply(e)
			if _, ok := e.Body.(*entry.Filled); ok {
				l := carried(f, e)
				got[l.ID] = l
			}
		}
	}
	for _, l := range Lines(n) {
		if got[l.ID] != l {
			t.Fatalf("entry carries\n%+v, line is\n%+v", got[l.ID], l)
		}
	}
	v := s.View()
	counted := 0
	for _, b := range v.Boxes {
		counted += len(b.Events)
	}
	if counted != n || v.Waiting != 0 || len(v.Devices) != Devices+1 || len(v.Crew) != people+1 {
		t.Errorf("%d lines count, %d wait, of %d devices and %d people", counted, v.Waiting, len(v.Devices), len(v.Crew))
	}
}

// opened is a device's entries, checked as another device would.
func opened(t *testing.T, f *Farm, d entry.DeviceID, runs []entry.Run) []entry.Entry {
	t.Helper()
	var es []entry.Entry
	var head *chain.Head
	for _, r := range runs {
		if r.Device != d {
			continue
		}
		if head == nil {
			h, err := wire.Start(f.ID, d, r.Entries[0])
			if err != nil {
				t.Fatal(err)
			}
			head = &h
		}
		_, next, more, err := wire.Open(*head, r, nil)
		if err != nil {
			t.Fatal(err)
		}
		*head, es = next, append(es, more...)
	}
	return es
}
