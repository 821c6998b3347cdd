package farm

import (
	"maps"
	"slices"

	"turnrow/sync/entry"
)

// crewSt is who belongs to the farm, and what the fold needs to judge entries.
type crewSt struct {
	ruleSt
	founded  *rec                // the farm's first entry, where it fits the farm's ID
	crewRecs []*rec              // the entries about the crew, whether they count or not, as they came
	others   []*rec              // the entries that people wrote on others' devices
	stand    *standing           // who belongs, by those of crewRecs that were looked at
	stale    bool                // more of them have come since
	ever     everIn              // who was ever let in, by all of them
	chosen   map[*rec]roleChoice // by settlements
	posts    []*post             // of the devices' logs, by their numbers; nil where the record has no first entry of one
}

// post is how the device of a log belongs, as it was last judged; nil where the
// record has no first entry of it.
func (s *crewSt) post(d *device) *post {
	if d.nr < len(s.posts) {
		return s.posts[d.nr]
	}
	return nil
}

func (s *crewSt) setPost(d *device, p *post) {
	for len(s.posts) <= d.nr {
		s.posts = append(s.posts, nil)
	}
	s.posts[d.nr] = p
}

// follows gives a branch the post of the log that it leaves.
func (s *crewSt) follows(d *device) {
	if d.base > 0 {
		s.setPost(d, s.post(d.root))
	}
}

// Fields of a person.
const (
	memberName = 2
	memberRole = 3
	memberStop = 4
)

// enrol notes what a device's first entry says of it.
func (s *crewSt) enrol(r *rec) {
	d := r.dev
	switch b := r.body.(type) {
	case *entry.FarmFounded:
		d.key, d.name = b.Key, b.DeviceName
		if entry.FoundedBy(d.signs(), b.Key, b.Paper) == s.id && (s.founded == nil || r.compare(s.founded) < 0) {
			s.founded = r
		}
	case *entry.DeviceEnrolled:
		d.key, d.name = b.Key, b.Name
	case *entry.Recovered:
		d.key, d.name = b.Key, b.Name
	}
}

// aboutCrew says whether an entry bears on who belongs to the farm.
func (s *crewSt) aboutCrew(r *rec) bool {
	if _, unknown := r.body.(*entry.Unknown); unknown {
		return false
	}
	if _, ok := r.body.(*entry.Settled); ok {
		_, role := s.roleSettled(r)
		return role != entry.NoRole
	}
	return aboutCrew(r.body.Kind())
}

// RightsOf is how many entries about rights a device's log has here, on all its
// branches, those that wait too.
func (s *crewSt) RightsOf(id entry.DeviceID) (n uint64) {
	for _, r := range s.crewRecs {
		if r.dev.signs() == id && aboutCrew(r.body.Kind()) {
			n++
		}
	}
	for _, d := range s.devices {
		if d.signs() != id {
			continue
		}
		for i := range d.wait {
			if aboutCrew(d.wait[i].Body.Kind()) {
				n++
			}
		}
	}
	return n
}

// rejudge works out who belongs anew, where entries have come that bear on it,
// and judges the entries of the devices concerned again.
func (s *factSt) rejudge() {
	if !s.stale {
		return
	}
	s.stale = false
	was := s.stand
	s.stand = s.standNow()
	for _, d := range s.devices {
		if len(d.recs) > 0 {
			s.repost(d)
		}
	}
	for _, r := range s.crewRecs { // one may count where another did
		s.judgeAgain(r)
	}
	if was == nil || !was.samePeople(s.stand) {
		for _, r := range s.others {
			s.judgeAgain(r)
		}
	}
	s.outside = slices.DeleteFunc(s.outside, func(r *rec) bool { return r.left == counts })
	if s.rejoin && s.rejoined() {
		s.rebuild()
	}
}

// repost gives a log its device's post as it now is. Where that has changed, its
// entries are judged again.
func (s *factSt) repost(d *device) {
	was, is := s.post(d), s.stand.posts[d.signer()]
	s.setPost(d, is)
	if was != nil && is != nil && was.same(is) {
		return
	}
	d.joined, d.person = is != nil && is.joined(), nil
	if d.joined {
		d.person = s.personOf(is.person)
	}
	for _, r := range d.recs {
		if r.own {
			r.by = d.person
		}
		s.judgeAgain(r)
	}
}

// judgeAgain judges an entry that is in its place.
func (s *factSt) judgeAgain(r *rec) {
	left := s.judge(r)
	if left == r.left {
		return
	}
	if r.left == counts {
		s.outside = append(s.outside, r)
	}
	r.left = left
	s.refresh(r)
}

// rebuild reads all entries over.
func (s *factSt) rebuild() {
	const rounds = 3 // things that are joined come to rest in two
	for range rounds {
		s.reset()
		for _, d := range s.devices {
			d.person = nil
			if d.joined {
				d.person = s.personOf(s.post(d).person)
			}
		}
		for _, r := range s.order {
			r.eff, r.edits = nil, nil
			if r.own {
				r.by = r.dev.person
			} else if r.by != nil {
				r.by = s.personOf(*r.by)
			}
			s.judgeAndPut(r)
		}
		if !s.rejoined() {
			return
		}
	}
}

// rejoined takes things together as settlements say and says whether that
// changed anything.
func (s *factSt) rejoined() bool {
	s.rejoin = false
	joins := map[entry.ID]entry.ID{}
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		if !joinsThings(b) {
			continue
		}
		for _, id := range b.Entries {
			if to := b.Stands[0]; id != to && s.alikeThings(id, to) && joins[to].IsZero() {
				joins[id] = to
			}
		}
	}
	changed := !maps.Equal(joins, s.joins)
	s.joins = joins
	return changed
}

// alikeThings says whether two IDs name things of one kind.
func (s *factSt) alikeThings(a, b entry.ID) bool {
	ra, rb := s.find(a), s.find(b)
	if ra == nil || rb == nil {
		return false
	}
	ka, okA := makes(ra.body)
	kb, okB := makes(rb.body)
	return okA && okB && ka == kb && ka != person
}

// canon is the thing that an ID stands for: itself, or the one that it was
// joined to.
func (s *thingSt) canon(id entry.ID) entry.ID {
	for range len(s.joins) {
		to, ok := s.joins[id]
		if !ok {
			break
		}
		id = to
	}
	return id
}
