package farm

import (
	"cmp"
	"slices"
)

// clockOff is how far, in ms, a wall clock may be from what others' entries
// imply before it is in doubt: 5 minutes.
const clockOff = 5 * 60 * 1000

// skew is an entry whose wall clock stands well before that of an entry which
// its writer had seen: one of the two clocks is wrong.
type skew struct{ late, early *rec }

// checkClock notes the first such pair for each pair of devices.
func (s *orderSt) checkClock(r, seen *rec) {
	if r.wall+clockOff >= seen.wall {
		return
	}
	for _, k := range s.skews {
		if k.late.dev == seen.dev && k.early.dev == r.dev {
			return
		}
	}
	s.skews = append(s.skews, skew{late: seen, early: r})
}

// clockDoubts is a doubt for each pair of devices whose clocks contradict.
func (s *crewSt) clockDoubts() []finding {
	skews := slices.Clone(s.skews)
	slices.SortFunc(skews, func(a, b skew) int { return cmp.Or(a.early.compare(b.early), a.late.compare(b.late)) })
	var out []finding
	for _, k := range skews {
		if !k.late.dev.joined || !k.early.dev.joined {
			continue
		}
		about := "clocks of " + deviceName(k.late.dev) + " and " + deviceName(k.early.dev)
		out = append(out, finding{WrongClock, about, []*rec{k.late, k.early}})
	}
	return out
}
