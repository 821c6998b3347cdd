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
		signed, err := p.parts(trunk(g), r, fork)
		switch {
		case err != nil:
			return errors.Join(err, fork)
		case signed:
			return fork
		}
		why = entry.ErrSignature
	}
	for _, a := range p.asidesOf(g.head.Log.Device()) {
		if r.First <= a.br.first || r.First > a.head.Seq+1 {
			continue
		}
		if is, err := p.goesOn(a, r); is || err != nil {
			return errors.Join(err, p.forkAt(g, a))
		}
	}
	return why
}

// stem is what a branch can part from: a device's log, or another branch of it.
type stem struct {
	*grown
	name  entry.LogID
	start end // where it begins
}

func trunk(g *grown) stem { return stem{g, g.head.Log, beginning(&g.head)} }

func (a *aside) stem() stem { return stem{&a.grown, a.head.Log, a.br.start()} }

// parts takes a run aside that parts from the stem within it. It says whether
// the device signed it.
func (p *intake) parts(from stem, r entry.Run, fork *chain.ForkError) (signed bool, err error) {
	at := chain.Head{Farm: from.head.Farm, Log: r.Device.Log(), Key: from.head.Key, Seq: fork.Seq - 1}
	if at.Hash, err = p.hashAt(from, at.Seq); err != nil {
		return false, &readError{err}
	}
	r.Entries, r.First = r.Entries[fork.Seq-r.First:], fork.Seq
	if _, err := chain.Check(at, r, nil); err != nil {
		return false, nil
	}
	name := chain.Branch(entry.NextHash(at.Hash, r.Entries[0]))
	for _, a := range p.asidesOf(r.Device) {
		if a.head.Log == name {
			_, err := p.goesOn(a, r)
			return true, err
		}
	}
	if err := p.room(r); err != nil {
		return true, err
	}
	a := &aside{br: branch{
		device: r.Device, on: from.name, first: fork.Seq, before: at.Hash,
		beside: chain.Branch(entry.NextHash(at.Hash, fork.Ours)),
	}}
	a.head = at
	a.head.Log, a.head.Peers, a.head.Seen = name, []entry.LogID{name}, []uint64{0}
	p.asides = append(p.asides, a)
	return true, p.extend(a, r)
}

// goesOn takes a run that goes on from some entry of a branch, at its end or
// before: there it may part again. It says whether the run does.
func (p *intake) goesOn(a *aside, r entry.Run) (bool, error) {
	err := p.extend(a, r)
	var fork *chain.ForkError
	switch {
	case err == nil || errors.Is(err, chain.ErrEmpty):
		return true, nil
	case errors.As(err, &fork):
		return p.parts(a.stem(), r, fork)
	}
	return false, nil
}

// room is nil where a run may begin another branch of its log. So many are kept
// as they come; beyond that, only what somebody named, who may have nothing else
// to go by, or what leads to it: see [exchange.MaxForks].
func (p *intake) room(r entry.Run) error {
	n := len(p.asidesOf(r.Device))
	wanted := func(m entry.Mark) bool { return m.Seq >= r.First }
	if n < exchange.MaxForks || slices.ContainsFunc(p.wanted[r.Device], wanted) {
		return nil
	}
	return fmt.Errorf("%w: %d branches are kept already", exchange.ErrBound, n)
}

// extend adds to a branch what a run has beyond it.
func (p *intake) extend(a *aside, r entry.Run) error {
	held := p.held(&a.grown)
	defer held.close()
	at := a.head
	at.Log = r.Device.Log() // the device signs its branches too
	v, err := chain.Check(at, r, held.at)
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
		if !p.hasAside(br.head.Log) {
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

func (p *intake) hasAside(name entry.LogID) bool {
	for _, a := range p.asides {
		if a.head.Log == name {
			return true
		}
	}
	return false
}

// forkAt is the fork that a branch is of.
func (p *intake) forkAt(g *grown, a *aside) error {
	on := g
	for _, o := range p.asides {
		if o.head.Log == a.br.on {
			on = &o.grown
		}
	}
	ours, err := p.entry(on, a.br.first)
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

// hashAt is the chain's hash at one of a stem's entries, or before its first.
func (p *intake) hashAt(s stem, seq uint64) (entry.Hash, error) {
	base := s.head.Seq - uint64(len(s.raws))
	if s.base != nil && seq <= base {
		return hashAt(p.db, &s.head, s.start, seq)
	}
	h := s.start.hash
	if s.base != nil {
		h = s.base.Hash
	}
	for _, raw := range s.raws[:seq-base] {
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
	rows, err := entryRows(db, h.Farm, h.Log, from.seq+1, seq)
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
		LowerBound: logKey(spaceSignature, h.Farm, h.Log),
		UpperBound: seqKey(spaceSignature, h.Farm, h.Log, seq+1),
	})
	if err != nil {
		return end{}, err
	}
	e := start
	if it.Last() {
		e, err = readEnd(it.Key(), it.Value())
	}
	return e, errors.Join(err, unreadable(logKey(spaceSignature, h.Farm, h.Log), it.Error()), it.Close())
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
