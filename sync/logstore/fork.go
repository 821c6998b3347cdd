package logstore

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// aside is another branch of a forked log, with what runs added to it.
type aside struct {
	grown
	br branch // its head is that of before
}

// refused is why a run was not taken into its device's log. If it is of another
// branch, it is kept aside. Bytes other than those that are held make a fork
// only where the device signed them: otherwise anybody could make a device look
// forked.
func (p *intake) refused(g *grown, r entry.Run, why error) error {
	var fork *chain.ForkError
	if errors.As(why, &fork) {
		fork.Ours = bytes.Clone(fork.Ours)
		signed, err := p.parts(g, r, fork)
		switch {
		case err != nil:
			return errors.Join(err, fork)
		case signed:
			return fork
		}
		why = entry.ErrSignature
	}
	for _, a := range p.asidesOf(g.head.Device) {
		if r.First <= a.br.first || r.First > a.head.Seq+1 {
			continue
		}
		if err := p.extend(a, r); err == nil || errors.Is(err, chain.ErrEmpty) {
			return p.forkAt(g, a)
		}
	}
	return why
}

// parts takes a run aside that parts from the log within it. It says whether
// the device signed it.
func (p *intake) parts(g *grown, r entry.Run, fork *chain.ForkError) (signed bool, err error) {
	at := g.head
	at.Seq = fork.Seq - 1
	if at.Hash, err = p.hashAt(g, at.Seq); err != nil {
		return false, &readError{err}
	}
	r.Entries, r.First = r.Entries[fork.Seq-r.First:], fork.Seq
	if _, err := chain.Check(at, r, nil); err != nil {
		return false, nil
	}
	name := chain.Branch(entry.NextHash(at.Hash, r.Entries[0]))
	all := p.asidesOf(g.head.Device)
	for _, a := range all {
		if a.head.Device == name {
			return true, p.more(a, r)
		}
	}
	if err := p.makeRoom(at, name, r, all); err != nil {
		return true, err
	}
	a := &aside{br: branch{
		device: g.head.Device, first: fork.Seq, before: at.Hash,
		ours: chain.Branch(entry.NextHash(at.Hash, fork.Ours)),
	}}
	a.head = at
	a.head.Device, a.head.Peers, a.head.Seen = name, []entry.DeviceID{name}, []uint64{0}
	p.asides = append(p.asides, a)
	return true, p.extend(a, r)
}

// vouched is what the logs that are not forked say of a device's: the branches
// that they named, and entries of it that they named and that are not here.
type vouched struct {
	branches []entry.DeviceID
	wanted   []entry.Mark
}

// makeRoom sees to it that so many branches at most are kept that nobody vouches
// for: those of the least names, so that all replicas come to keep the same, and
// whoever has the key can not push out one that an honest device has named.
func (p *intake) makeRoom(at chain.Head, name entry.DeviceID, r entry.Run, all []*aside) error {
	said := p.vouched[r.Device]
	var free []*aside
	for _, a := range all {
		if !slices.Contains(said.branches, a.head.Device) {
			free = append(free, a)
		}
	}
	if len(free) < exchange.MaxForks || slices.Contains(said.branches, name) || wanted(at, r, said.wanted) {
		return nil
	}
	last := slices.MaxFunc(free, func(a, b *aside) int { return a.head.Device.Compare(b.head.Device) })
	if name.Compare(last.head.Device) > 0 {
		return fmt.Errorf("%w: %d branches are kept already", exchange.ErrBound, len(free))
	}
	p.asides = slices.DeleteFunc(p.asides, func(a *aside) bool { return a == last })
	p.dropped = append(p.dropped, last.head.Device)
	return nil
}

// wanted says whether some entry of a run is one that was named.
func wanted(at chain.Head, r entry.Run, marks []entry.Mark) bool {
	for _, raw := range r.Entries {
		at.Advance(raw)
		if slices.ContainsFunc(marks, func(m entry.Mark) bool { return m.Seq == at.Seq && m.Hash == at.Hash.Brief() }) {
			return true
		}
	}
	return false
}

// more extends a branch by a run that is known to be the device's own. That it
// brings nothing new is no error, nor that it parts again: of a fork within a
// fork, the first is evidence enough.
func (p *intake) more(a *aside, r entry.Run) error {
	err := p.extend(a, r)
	if errors.Is(err, chain.ErrEmpty) || errors.Is(err, chain.ErrFork) {
		return nil
	}
	return err
}

// extend adds to a branch what a run has beyond it.
func (p *intake) extend(a *aside, r entry.Run) error {
	r.Device = a.head.Device
	held := p.held(&a.grown)
	defer held.close()
	v, err := chain.Check(a.head, r, held.at)
	if err != nil {
		return err
	}
	news := v.Run()
	a.head.Seq, a.head.Hash = news.Last(), v.Hash()
	for _, raw := range news.Entries {
		a.head.Bytes += uint64(len(raw))
	}
	a.raws = append(a.raws, news.Entries...)
	a.ends = append(a.ends, end{news.Last(), v.Hash(), r.Sig})
	return nil
}

// asidesOf are the other branches of a device's log, as far as they have come.
func (p *intake) asidesOf(d entry.DeviceID) []*aside {
	for _, br := range p.base.branchesOf(d) {
		if !p.hasAside(br.head.Device) && !slices.Contains(p.dropped, br.head.Device) {
			p.asides = append(p.asides, &aside{br: *br, grown: grown{base: &br.head, head: br.head}})
		}
	}
	var all []*aside
	for _, a := range p.asides {
		if a.br.device == d {
			all = append(all, a)
		}
	}
	return all
}

func (p *intake) hasAside(name entry.DeviceID) bool {
	for _, a := range p.asides {
		if a.head.Device == name {
			return true
		}
	}
	return false
}

// forkAt is the fork that a branch is of.
func (p *intake) forkAt(g *grown, a *aside) error {
	ours, err := p.entry(g, a.br.first)
	theirs, err2 := p.entry(&a.grown, a.br.first)
	if err := errors.Join(err, err2); err != nil {
		return &readError{err}
	}
	return &chain.ForkError{Device: a.br.device, Seq: a.br.first, Ours: ours, Theirs: theirs}
}

func (p *intake) entry(g *grown, seq uint64) ([]byte, error) {
	held := p.held(g)
	defer held.close()
	raw, err := held.at(seq)
	return bytes.Clone(raw), err
}

// branches are the branches that have grown.
func (p *intake) branches() []*branch {
	var all []*branch
	for _, a := range p.asides {
		if len(a.raws) > 0 {
			br := a.br
			br.head = a.head
			all = append(all, &br)
		}
	}
	return all
}

// hashAt is the chain's hash at one of the log's entries.
func (p *intake) hashAt(g *grown, seq uint64) (entry.Hash, error) {
	base := g.head.Seq - uint64(len(g.raws))
	if seq <= base {
		return hashAt(p.db, &g.head, beginning(&g.head), seq)
	}
	h := entry.FirstHash(p.farm, g.head.Device)
	if g.base != nil {
		h = g.base.Hash
	}
	for _, raw := range g.raws[:seq-base] {
		h = entry.NextHash(h, raw)
	}
	return h, nil
}

// hashAt is the chain's hash at an entry on disk, from the last signature
// before it on, or from start where there is none.
func hashAt(db pebble.Reader, h *chain.Head, start end, seq uint64) (entry.Hash, error) {
	from, err := endBefore(db, h, start, seq)
	if err != nil || from.seq == seq {
		return from.hash, err
	}
	rows, err := entryRows(db, h.Farm, h.Device, from.seq+1, seq)
	if err != nil {
		return entry.Hash{}, err
	}
	defer rows.close()
	hash := from.hash
	for rows.more() {
		raw, err := rows.next()
		if err != nil {
			return entry.Hash{}, err
		}
		hash = entry.NextHash(hash, raw)
	}
	return hash, nil
}

// endBefore is the last place at or before seq where a signature is held; start
// where there is none.
func endBefore(db pebble.Reader, h *chain.Head, start end, seq uint64) (end, error) {
	it, err := db.NewIter(&pebble.IterOptions{
		LowerBound: logKey(spaceSignature, h.Farm, h.Device),
		UpperBound: seqKey(spaceSignature, h.Farm, h.Device, seq+1),
	})
	if err != nil {
		return end{}, err
	}
	e := start
	if it.Last() {
		e, err = readEnd(it.Key(), it.Value())
	}
	return e, errors.Join(err, unreadable(logKey(spaceSignature, h.Farm, h.Device), it.Error()), it.Close())
}

// readEnd reads a signature with the chain's hash.
func readEnd(key, value []byte) (end, error) {
	p, err := payload(key, value)
	if err != nil {
		return end{}, err
	}
	e := end{seq: seqOf(key)}
	if len(p) != len(e.hash)+len(e.sig) {
		return end{}, damaged(key, "wrong length")
	}
	copy(e.hash[:], p)
	copy(e.sig[:], p[len(e.hash):])
	return e, nil
}
