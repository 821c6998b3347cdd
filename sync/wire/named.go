package wire

import "turnrow/sync/entry"

// Of a log that has more branches than are kept, each replica may have met
// others. What all of them come to know is what the entries of other logs had
// named of it: so no more than that counts, and it reads alike everywhere. The
// rest is kept, as proof.

// Named has no more count of some forked logs than what others named: as seen, or
// by whom they let in, and what the writer of that had seen in turn. Each gives
// the entries of all logs that are not forked.
func (f *Forks) Named(full []entry.DeviceID, each func(fn func(entry.Entry) error) error) error {
	for _, d := range full {
		if l := f.log(d.Log()); l != nil {
			l.named = map[entry.Brief]bool{}
		}
	}
	if len(f.Full()) == 0 {
		return nil
	}
	n := namer{forks: f}
	err := each(func(e entry.Entry) error {
		if !f.Forked(e.Log) {
			n.by(&e)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, l := range f.logs {
		if l.named == nil {
			n.byAll(l)
		}
	}
	for _, l := range f.logs {
		if l.named != nil {
			l.onlyNamed()
		}
	}
	return nil
}

// namer finds what is named of logs of which no more counts.
type namer struct {
	forks *Forks
	next  []*entry.Entry // found, and not yet asked what they name
}

func (n *namer) byAll(l *forked) {
	for _, s := range l.all {
		for i := range s.Entries {
			n.by(&s.Entries[i])
		}
	}
}

// by notes what an entry names, and what that names in turn.
func (n *namer) by(e *entry.Entry) {
	n.next = append(n.next, e)
	for len(n.next) > 0 {
		e := n.next[len(n.next)-1]
		n.next = n.next[:len(n.next)-1]
		for _, m := range e.Seen {
			n.mark(m)
		}
		if a, ok := e.Body.(*entry.Admitted); ok {
			n.mark(entry.Mark{Log: a.Device.Log(), Seq: 1, Hash: a.Hash})
		}
	}
}

// mark notes an entry of one of the logs and all that it follows on.
func (n *namer) mark(m entry.Mark) {
	s, _ := n.forks.holder(m)
	if s == nil || s.log.named == nil {
		return
	}
	for seq := m.Seq; seq > 0; seq-- {
		s = s.at(seq)
		e := &s.Entries[seq-s.Of.Seq-1]
		if s.log.named[e.Hash] {
			return
		}
		s.log.named[e.Hash] = true
		n.next = append(n.next, e)
	}
}

// onlyNamed takes the log apart anew, as if nothing else were there.
func (l *forked) onlyNamed() {
	reads := map[entry.Brief]bool{}
	for _, s := range l.all {
		for i := range s.Entries {
			reads[s.Entries[i].Hash] = true
		}
	}
	all := l.next
	l.next, l.all, l.lost, l.spare = map[entry.Hash][][]byte{}, nil, map[uint64][]entry.Hash{}, map[place]bool{}
	type at struct {
		hash entry.Hash
		seq  uint64
	}
	for todo := []at{{l.start.Hash, 0}}; len(todo) > 0; {
		from := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, raw := range all[from.hash] {
			to := at{entry.NextHash(from.hash, raw), from.seq + 1}
			if l.named[to.hash.Brief()] {
				l.next[from.hash] = append(l.next[from.hash], raw)
			} else {
				l.lost[to.seq] = append(l.lost[to.seq], to.hash)
				l.spare[place{to.seq, to.hash.Brief()}] = reads[to.hash.Brief()]
			}
			todo = append(todo, to)
		}
	}
	l.walk(l.start.Clone(), &Stretch{Name: l.device.Log(), log: l}, nil)
}

// Stale says whether an entry that was read since the logs were taken apart names
// one that did not count until now: all is to be taken apart anew.
func (f *Forks) Stale() bool { return f.stale }

// Full are the devices of whose logs no more counts than what others named.
func (f *Forks) Full() []entry.DeviceID {
	var full []entry.DeviceID
	for _, l := range f.logs {
		if l.named != nil {
			full = append(full, l.device)
		}
	}
	return full
}
