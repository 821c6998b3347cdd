package simtest_test

import (
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/simtest"
)

// three is a farm of three devices in which rapid has things written and told
// on, line by line.
type three struct {
	*simtest.World
	places []string
	n      int
	kept   map[string]chain.Frontier // what each place has said is stored
}

// fataler is a test, or one case of a property.
type fataler interface{ Fatal(...any) }

func newThree(t fataler) *three {
	begun, err := threeBegun()
	if err != nil {
		t.Fatal(err)
	}
	if begun, err = begun.Clone(); err != nil {
		t.Fatal(err)
	}
	return &three{World: begun, places: []string{"house", "cab", "yard"}, kept: map[string]chain.Frontier{}}
}

// threeBegun is where each of them begins.
var threeBegun = sync.OnceValues(func() (*simtest.World, error) {
	w := simtest.New()
	for _, l := range []string{
		`house founds "Quill Hollow" owner Ada`, "house: Ben = member role operator", "house: Cleo = member role helper",
		"house: drill = drill rows 10 spacing 7.5 in counter acres", "house: grain = box of drill lowest 0 highest 100",
		"house: oats = lot species oat bag 50 lb", "house: label lot oats seed oat share 98% germination 90%", "house: bench = ground area 7.5 ac",
		"house: list = checks version 1 item pin required item hoses required",
		"house: forcab = invite person Ben", "house: foryard = invite person Cleo", "cab joins by forcab", "yard joins by foryard", "all meet",
		"yard: f = fill box grain with oats bags 3", "house: d1 = dial box grain to 40", "cab: d2 = dial box grain to 41",
		"cab: h = hitch by list", "all meet",
	} {
		if err := w.Do(l); err != nil {
			return nil, err
		}
	}
	return w, nil
})

func (w *three) do(t fataler, lines ...string) {
	for _, l := range lines {
		if err := w.Do(l); err != nil && !errors.Is(err, simtest.ErrCannot) {
			t.Fatal(err)
		}
	}
}

// live has rapid choose what happens; copies are restored once in so many times
// that it wants to.
func (w *three) live(t *rapid.T, restores int, check func()) {
	place := rapid.SampledFrom(w.places)
	kind := rapid.IntRange(0, len(sample)-1)
	t.Repeat(map[string]func(*rapid.T){
		"": func(*rapid.T) { check() },
		"write": func(t *rapid.T) {
			w.n++
			w.do(t, fmt.Sprintf("%s: e%d = %s", place.Draw(t, "place"), w.n, sample[kind.Draw(t, "kind")].words))
		},
		"meet":  func(t *rapid.T) { w.do(t, place.Draw(t, "place")+" meets "+place.Draw(t, "other")) },
		"call":  func(t *rapid.T) { w.do(t, place.Draw(t, "place")+" calls "+place.Draw(t, "other")+" bytes 200") },
		"crash": func(t *rapid.T) { w.do(t, place.Draw(t, "place")+" crashes") },
		"copy":  func(t *rapid.T) { p := place.Draw(t, "place"); w.do(t, "copy "+p+" of"+p) },
		"restore": func(t *rapid.T) {
			p := place.Draw(t, "place")
			if rapid.IntRange(0, 3).Draw(t, "luck") < restores {
				w.do(t, "restore "+p+" of"+p)
				delete(w.kept, p)
			}
		},
	})
}

// Rules 1, 4 and 5 at every step: what a place said is stored stays there,
// ready never shows while anything stands against it, and figures rest on the
// entries that they name. Rule 2 once all have met.
func TestWhatMustHoldAlways(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newThree(t)
		w.Look = func(p *simtest.Place) error { return errors.Join(w.Safe(p), w.Traced(p)) }
		w.live(t, 1, func() {
			for _, p := range w.Places() {
				have := p.Frontier()
				if !have.Covers(w.kept[p.Name]) {
					t.Fatalf("rule 1: %s held %v, now %v", p.Name, w.kept[p.Name], have)
				}
				w.kept[p.Name] = have
			}
		})
		if err := w.Healed(); err != nil {
			t.Fatal(err)
		}
		for _, p := range w.Places()[1:] {
			if p.Digest() != w.Places()[0].Digest() {
				t.Fatalf("rule 2: %s differs once all have met", p.Name)
			}
		}
	})
}

// Rule 3: merging what three places hold is commutative, associative and
// idempotent.
func TestMergingIsASetUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newThree(t)
		w.live(t, 0, func() {}) // branches of a forked log are merged by replicas, not by the fold
		var sets [3][]entry.Entry
		for i, p := range w.Places() {
			sets[i] = p.Entries()
		}
		a, b, c := sets[0], sets[1], sets[2]
		want := fold(w.Farm, a, b, c)
		for name, got := range map[string][32]byte{
			"a(bc) is not (ab)c":    fold(w.Farm, b, c, a),
			"ab is not ba":          fold(w.Farm, c, b, a),
			"aa is not a":           fold(w.Farm, a, a, b, b, c, c, a),
			"one by one, by rounds": fold(w.Farm, interleaved(a, b, c)),
		} {
			if got != want {
				t.Fatal(name)
			}
		}
	})
}

func fold(f entry.FarmID, sets ...[]entry.Entry) [32]byte {
	s := farm.New(f)
	for _, es := range sets {
		s.Apply(es...)
	}
	return s.Digest()
}

func interleaved(sets ...[]entry.Entry) []entry.Entry {
	var out []entry.Entry
	for i := range slices.MaxFunc(sets, func(a, b []entry.Entry) int { return len(a) - len(b) }) {
		for _, s := range sets {
			if i < len(s) {
				out = append(out, s[i])
			}
		}
	}
	return out
}

// Yard believes that the cab holds what it held before it was restored, and
// offers what follows on that: it fits nothing that the cab holds now. The fork
// is shown by what each says it has, and all ends well.
func TestRunThatFollowsOnWhatWasLost(t *testing.T) {
	w := newThree(t)
	w.do(t, "yard meets cab", "copy cab early", "cab: e1 = dial box grain to 42", "cab meets yard",
		"cab: e2 = dial box grain to 43", "cab calls yard", "restore cab early", "cab: e3 = dial box grain to 44", "cab meets yard")
	if err := w.Healed(); err != nil {
		t.Fatal(err)
	}
}
