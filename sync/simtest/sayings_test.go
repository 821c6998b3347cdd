package simtest

import (
	"math/rand/v2"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Random crews write every kind. Those about the crew come and go by steps of
// their own, and what is said of other entries waits for such.
func TestCrewsWriteEveryKind(t *testing.T) {
	m := &maker{Rand: rand.New(rand.NewPCG(1, 1)), w: New(), out: &Outcome{}, verbOf: map[string]string{}}
	if err := m.setting(); err != nil {
		t.Fatal(err)
	}
	house, err := m.w.Place("house")
	if err != nil {
		t.Fatal(err)
	}
	said := map[entry.Kind]bool{entry.KindAmended: true, entry.KindStruck: true, entry.KindSettled: true}
	if err := m.write(house, "hitch", m.sayHitch(house)); err != nil {
		t.Fatal(err)
	}
	for _, s := range sayings() {
		for range 60 {
			if s.kind != "edit" {
				said[verbs[firstWord(s.words(m, house))].kind] = true
			}
		}
	}
	for k := range entry.Kinds() {
		if bears[k] == 0 {
			t.Errorf("no row in trace.go says what %s is to the figures of a day", k)
		}
		if !said[k] && !farm.AboutRights(k) {
			t.Errorf("no random crew writes %s: give it a saying", k)
		}
	}
}
