package crew

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// everIn is who was ever let in, and by whom: by a device that ever was an
// owner's or a porter, whatever has become of either since. It only grows, and
// comes out alike in whatever order entries come.
//
// An entry that names a log of somebody who never was let in waits: not every
// replica keeps such logs (they are strangers' and bounded), so that what an
// honest device wrote upon it would wait elsewhere for ever. And who once was
// let in stays named, be the admission void since: what others wrote of them
// must not begin to wait.
type everIn struct {
	firsts map[entry.Mark]int64            // first entries of those let in, with the wall clock of who did
	makers map[entry.DeviceID]bool         // who may ever have let somebody in
	owners map[entry.ID]bool               // people who may ever have been owners
	of     map[entry.ID][]entry.DeviceID   // devices let in for a person
	later  map[entry.DeviceID][]*order.Rec // what a device wrote that is no maker yet
	codes  []entry.Key                     // on paper
	papers []*order.Rec                    // recoveries that fit none of them yet
}

// Lets notes what an entry about the crew says of who is let in.
func (in *everIn) Lets(s *Crew, r *order.Rec) {
	if in.firsts == nil {
		*in = everIn{firsts: map[entry.Mark]int64{}, makers: map[entry.DeviceID]bool{}, owners: map[entry.ID]bool{},
			of: map[entry.ID][]entry.DeviceID{}, later: map[entry.DeviceID][]*order.Rec{}}
	}
	signs := r.Log.Signs()
	switch b := r.Body.(type) {
	case *entry.FarmFounded:
		if r.Seq == 1 && entry.FoundedBy(signs, b.Key, b.Paper) == s.FarmID {
			in.codes = append(in.codes, b.Paper)
			in.first(s, r)
			in.recover(s)
		}
	case *entry.Recovered:
		if r.Seq == 1 {
			in.papers = append(in.papers, r)
			in.recover(s)
		}
	case *entry.Admitted, *entry.MemberChanged, *entry.Settled:
		if !in.makers[signs] {
			in.later[signs] = append(in.later[signs], r)
			return
		}
		in.says(s, r)
	}
}

// first lets a device in by its own first entry.
func (in *everIn) first(s *Crew, r *order.Rec) {
	in.firsts[r.Signed()] = r.Wall
	in.maker(s, r.Log.Signs())
}

// recover lets in whose recovery fits a code on paper, and by the codes that
// those made, others.
func (in *everIn) recover(s *Crew) {
	fits := func(r *order.Rec) bool {
		return slices.ContainsFunc(in.codes, func(key entry.Key) bool { return s.proves(r, key) })
	}
	for i := slices.IndexFunc(in.papers, fits); i >= 0; i = slices.IndexFunc(in.papers, fits) {
		r := in.papers[i]
		in.papers = slices.Delete(in.papers, i, i+1)
		in.codes = append(in.codes, r.Body.(*entry.Recovered).Next)
		in.first(s, r)
	}
}

// maker notes who may let in, and what that one has said already.
func (in *everIn) maker(s *Crew, d entry.DeviceID) {
	if in.makers[d] {
		return
	}
	in.makers[d] = true
	said := in.later[d]
	delete(in.later, d)
	for _, r := range said {
		in.says(s, r)
	}
}

// says takes what a maker says.
func (in *everIn) says(s *Crew, r *order.Rec) {
	switch b := r.Body.(type) {
	case *entry.Admitted:
		if b.Refused {
			return
		}
		first := entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash}
		if wall, ok := in.firsts[first]; !ok || r.Wall < wall {
			in.firsts[first] = r.Wall
		}
		in.of[b.Person] = append(in.of[b.Person], b.Device)
		if b.Porter || b.Role == entry.Owner || in.owners[b.Person] {
			in.maker(s, b.Device)
		}
	case *entry.MemberChanged:
		in.raised(s, b.Member, b.Role)
	case *entry.Settled:
		who, role := s.roleSettled(r)
		in.raised(s, who, role)
	}
}

func (in *everIn) raised(s *Crew, who entry.ID, role entry.Role) {
	if role != entry.Owner || in.owners[who] {
		return
	}
	in.owners[who] = true
	for _, d := range in.of[who] {
		in.maker(s, d)
	}
}

// EverIn says whether the device whose log has this first entry was ever let in.
func (s *Crew) EverIn(first entry.Mark) bool {
	_, is := s.Ever.firsts[first]
	return is
}

// WasIn says whether the log's device was ever let in.
func (s *Crew) WasIn(d *order.Log) bool {
	d = d.Rooted()
	if !d.In && len(d.Recs) > 0 {
		d.In = s.EverIn(d.Recs[0].Signed())
	}
	return d.In
}
