package order

// clockOff is how far, in ms, a wall clock may be from what others' entries
// imply before it is in doubt: 5 minutes.
const clockOff = 5 * 60 * 1000

// Skew is an entry whose wall clock stands well before that of an entry which
// its writer had seen: one of the two clocks is wrong.
type Skew struct{ Late, Early *Rec }

// CheckClock notes the first such pair for each pair of devices.
func (s *Order) CheckClock(r, seen *Rec) {
	if r.Wall+clockOff >= seen.Wall {
		return
	}
	for _, k := range s.Skews {
		if k.Late.Log == seen.Log && k.Early.Log == r.Log {
			return
		}
	}
	s.Skews = append(s.Skews, Skew{Late: seen, Early: r})
}
