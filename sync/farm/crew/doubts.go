package crew

import (
	"cmp"
	"slices"

	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/message"
)

// Forks is a doubt for each device whose log is forked: the first entries of
// its branches.
func (s *Crew) Forks() []order.Finding {
	var out []order.Finding
	for _, d := range s.LogsInOrder() {
		if !d.Joined && !s.anyJoined(d) {
			continue
		}
		var firsts []*order.Rec
		for _, b := range s.Branches {
			if b.Root == d && len(b.Recs) > 0 {
				firsts = append(firsts, b.Recs[0])
			}
		}
		if d.Full && len(firsts) < 2 && len(d.Recs) > 0 {
			firsts = d.Recs[:1]
		}
		if len(firsts) > 1 || d.Full && len(firsts) > 0 {
			slices.SortFunc(firsts, (*order.Rec).Compare)
			out = append(out, order.Finding{Kind: conflict.Forked, About: DeviceText(firsts[0].Log), Recs: firsts})
		}
	}
	return out
}

// anyJoined says whether a branch of a log that forks at its first entry
// belongs.
func (s *Crew) anyJoined(d *order.Log) bool {
	return slices.ContainsFunc(s.Branches, func(b *order.Log) bool { return b.Root == d && b.Joined })
}

// ClockDoubts is a doubt for each pair of devices whose clocks contradict.
func (s *Crew) ClockDoubts() []order.Finding {
	skews := slices.Clone(s.Skews)
	slices.SortFunc(skews, func(a, b order.Skew) int { return cmp.Or(a.Early.Compare(b.Early), a.Late.Compare(b.Late)) })
	var out []order.Finding
	for _, k := range skews {
		if !k.Late.Log.Joined || !k.Early.Log.Joined {
			continue
		}
		about := message.Of("two-clocks", message.Name{Name: DeviceName(k.Late.Log)}, message.Name{Name: DeviceName(k.Early.Log)})
		out = append(out, order.Finding{Kind: conflict.WrongClock, About: about, Recs: []*order.Rec{k.Late, k.Early}})
	}
	return out
}
