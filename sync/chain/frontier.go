package chain

import (
	"slices"

	"turnrow/sync/entry"
)

// Mark is how far one log is held: its last number, and the first
// bytes of the chain's hash there, which tell a fork apart.
type Mark = entry.Mark

// Frontier is how far each log is held, ordered by log. Treat it
// as a value: its methods give new ones.
type Frontier []Mark

// Reached is how far heads go, each of a log of its own.
func Reached(heads []Head) Frontier {
	f := make(Frontier, len(heads))
	for i := range heads {
		f[i] = heads[i].Mark()
	}
	f.sort()
	return f
}

// Mark is the head's mark.
func (h *Head) Mark() Mark { return Mark{Log: h.Log, Seq: h.Seq, Hash: h.Hash.Brief()} }

func (f Frontier) find(l entry.LogID) (int, bool) {
	return slices.BinarySearchFunc(f, l, func(m Mark, l entry.LogID) int { return m.Log.Compare(l) })
}

// Seq is how far a log is held: 0 where it is not.
func (f Frontier) Seq(l entry.LogID) uint64 { return f.Mark(l).Seq }

// Mark is a log's mark, with Seq 0 where it has none.
func (f Frontier) Mark(l entry.LogID) Mark {
	if i, ok := f.find(l); ok {
		return f[i]
	}
	return Mark{Log: l}
}

// With is f with one mark put in, in the place of its log's own.
func (f Frontier) With(m Mark) Frontier {
	i, ok := f.find(m.Log)
	if ok {
		f = slices.Clone(f)
		f[i] = m
		return f
	}
	return slices.Insert(slices.Clone(f), i, m)
}

// Max is how far either of two replicas holds each log.
func (f Frontier) Max(g Frontier) Frontier {
	out := slices.Clone(f)
	for _, m := range g {
		if m.Seq > out.Seq(m.Log) {
			out = out.With(m)
		}
	}
	return out
}

// Covers says whether all that g holds is held by f too, by number.
func (f Frontier) Covers(g Frontier) bool {
	for _, m := range g {
		if m.Seq > f.Seq(m.Log) {
			return false
		}
	}
	return true
}

// Beyond is the marks of f that go further than g does, or that differ from
// g's at the same number.
func (f Frontier) Beyond(g Frontier) Frontier {
	var out Frontier
	for _, m := range f { // both are in order
		for len(g) > 0 && g[0].Log.Compare(m.Log) < 0 {
			g = g[1:]
		}
		if len(g) == 0 || g[0].Log != m.Log || m.Seq > g[0].Seq || m.Seq == g[0].Seq && m.Hash != g[0].Hash {
			out = append(out, m)
		}
	}
	return out
}

// Since is what f says otherwise than g: its marks that g has not the same, and
// for each log that only g names, one with Seq 0. It is what [Frontier.On] needs
// to make f of g.
func (f Frontier) Since(g Frontier) Frontier {
	var out Frontier
	for _, m := range f {
		if g.Mark(m.Log) != m {
			out = append(out, m)
		}
	}
	for _, m := range g {
		if f.Seq(m.Log) == 0 && m.Seq > 0 {
			out = append(out, Mark{Log: m.Log})
		}
	}
	out.sort()
	return out
}

// On is the frontier that says what f says, and otherwise what g says.
func (f Frontier) On(g Frontier) Frontier {
	out := slices.Clone(f)
	for _, m := range g {
		if _, said := f.find(m.Log); !said {
			out = append(out, m)
		}
	}
	out = slices.DeleteFunc(out, func(m Mark) bool { return m.Seq == 0 })
	out.sort()
	return out
}

func (f Frontier) sort() {
	slices.SortFunc(f, func(a, b Mark) int { return a.Log.Compare(b.Log) })
}

// Entries is the number of entries up to the frontier.
func (f Frontier) Entries() uint64 {
	var n uint64
	for _, m := range f {
		n += m.Seq
	}
	return n
}
