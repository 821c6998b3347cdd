package chain_test

import (
	"errors"
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// frontiers draws a frontier of a few logs, and the same as a plain map.
func frontiers(t *rapid.T, name string) (chain.Frontier, map[entry.LogID]uint64) {
	m := rapid.MapOf(rapid.Byte(), rapid.Uint64Range(1, 9)).Draw(t, name)
	var f chain.Frontier
	plain := map[entry.LogID]uint64{}
	for d, seq := range m {
		id := entry.LogID{d}
		f = f.With(chain.Mark{Log: id, Seq: seq})
		plain[id] = seq
	}
	return f, plain
}

// What one frontier says otherwise than another, put on that other, is the first
// again, and says nothing that both say.
func TestFrontierSince(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, _ := frontiers(t, "f")
		g, _ := frontiers(t, "g")
		since := f.Since(g)
		if got := since.On(g); !slices.Equal(got, f) {
			t.Fatalf("%v since %v is %v, which makes %v of it", f, g, since, got)
		}
		for _, m := range since {
			if f.Mark(m.Log) == g.Mark(m.Log) {
				t.Fatalf("%v tells of a log that both hold alike", since)
			}
		}
	})
}

// What one frontier holds beyond another is what the other needs to cover it,
// and nothing that the other has.
func TestFrontierBeyond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, fm := frontiers(t, "f")
		g, gm := frontiers(t, "g")
		beyond := f.Beyond(g)
		if !g.Max(beyond).Covers(f) || !f.Covers(beyond) {
			t.Fatalf("%v beyond %v is %v", f, g, beyond)
		}
		for _, m := range beyond {
			if fm[m.Log] <= gm[m.Log] {
				t.Fatalf("%v beyond %v tells of %v", f, g, m)
			}
		}
		var other chain.Frontier // g on another branch of every log
		for _, m := range g {
			m.Hash[0] = 1
			other = other.With(m)
		}
		for _, m := range f {
			if m.Seq == gm[m.Log] && f.Beyond(other).Mark(m.Log) != m {
				t.Fatalf("%v beyond the branches %v keeps back %v", f, other, m)
			}
		}
	})
}

// A frontier does what a plain map does, keeps its order, and leaves alone
// those that it was made from.
func TestFrontierAgainstAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, fm := frontiers(t, "f")
		g, gm := frontiers(t, "g")
		before := slices.Clone(f)
		most, covers, total := f.Max(g), true, uint64(0)
		for d := range 256 {
			id := entry.LogID{byte(d)}
			if got, want := most.Seq(id), max(fm[id], gm[id]); got != want {
				t.Fatalf("Max of %d is %d, want %d", d, got, want)
			}
			if f.Seq(id) != fm[id] || f.Mark(id).Log != id {
				t.Fatalf("Seq of %d is %d, want %d", d, f.Seq(id), fm[id])
			}
			covers = covers && fm[id] >= gm[id]
			total += fm[id]
		}
		if f.Covers(g) != covers || !most.Covers(f) || !most.Covers(g) || f.Entries() != total {
			t.Fatalf("Covers %t, want %t; Entries %d, want %d", f.Covers(g), covers, f.Entries(), total)
		}
		if !slices.IsSortedFunc(most, func(a, b chain.Mark) int { return a.Log.Compare(b.Log) }) {
			t.Fatal("out of order")
		}
		if !slices.Equal(f, before) {
			t.Fatal("it changed")
		}
	})
}

// A brief frontier says of the logs that who reads it knows what the whole one
// says, and of the others the same under their short names. Two logs of one short
// name are never taken for each other.
func TestBriefFrontier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		logs := rapid.MapOf(rapid.ByteRange(0, 3), rapid.ByteRange(0, 9)).Draw(t, "logs") // short names, by what comes before
		var f, known chain.Frontier
		twins, met := false, map[byte]bool{}
		for _, first := range slices.Sorted(maps.Keys(logs)) {
			last := logs[first]
			m := chain.Mark{Log: entry.LogID{0: first, 15: last}, Seq: 1 + uint64(first), Hash: entry.Brief{first}}
			f = f.With(m)
			twins = twins || met[last]
			met[last] = true
			if rapid.Bool().Draw(t, "known") {
				known = known.With(chain.Mark{Log: m.Log, Seq: 7})
			}
		}
		brief, ok := f.Brief()
		if ok == twins {
			t.Fatalf("%v in brief is %v, %t", f, brief, ok)
		}
		if !ok {
			return
		}
		whole, unknown, err := brief.Whole(known)
		if err != nil || len(whole) != len(known) || len(whole)+len(unknown) != len(f) {
			t.Fatalf("of %v, %v knows %v, not %v: %v", f, known, whole, unknown, err)
		}
		for _, m := range whole {
			if f.Mark(m.Log) != m {
				t.Fatalf("%v is read as %v", f, whole)
			}
		}
		for _, m := range unknown {
			whole = whole.With(chain.Mark{Log: entry.LogID{0: m.Hash[0], 15: m.Log[3]}, Seq: m.Seq, Hash: m.Hash})
		}
		if !slices.Equal(whole, f) {
			t.Fatalf("%v is read as %v", f, whole)
		}
		if len(f) == 0 {
			return
		}
		twin := f[0]
		twin.Log[1]++
		if _, _, err := brief.Whole(known.With(f[0]).With(twin)); !errors.Is(err, chain.ErrShort) {
			t.Fatalf("%s is taken for %s or the other way round: %v", twin.Log, f[0].Log, err)
		}
	})
}
