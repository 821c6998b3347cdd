package logstore

import (
	"bytes"
	"errors"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// refused is why a run was not taken. Where its bytes are other than those that
// are held, it is a fork only if the device signed them: otherwise anybody
// could make a device look forked.
func (p *intake) refused(g *grown, r entry.Run, err error) error {
	var fork *chain.ForkError
	if !errors.As(err, &fork) {
		return err
	}
	at := g.head
	at.Seq = fork.Seq - 1
	if at.Hash, err = p.hashAt(g, at.Seq); err != nil {
		return &readError{err}
	}
	r.Entries, r.First = r.Entries[fork.Seq-r.First:], fork.Seq
	if _, err := chain.Check(at, r, nil); err != nil {
		return err
	}
	fork.Ours = bytes.Clone(fork.Ours)
	return fork
}

// hashAt is the chain's hash at one of the log's entries.
func (p *intake) hashAt(g *grown, seq uint64) (entry.Hash, error) {
	base := g.head.Seq - uint64(len(g.raws))
	if seq <= base {
		return hashAt(p.db, &g.head, seq)
	}
	h := entry.FirstHash(g.head.Farm, g.head.Device)
	if g.base != nil {
		h = g.base.Hash
	}
	for _, raw := range g.raws[:seq-base] {
		h = entry.NextHash(h, raw)
	}
	return h, nil
}

// hashAt is the chain's hash at an entry on disk, from the last signature
// before it on.
func hashAt(db pebble.Reader, h *chain.Head, seq uint64) (entry.Hash, error) {
	from, err := endBefore(db, h, seq)
	if err != nil || from.seq == seq {
		return from.hash, err
	}
	rows, err := entryRows(db, h.Farm, h.Device, from.seq+1, seq)
	if err != nil {
		return entry.Hash{}, err
	}
	defer rows.close()
	for hash := from.hash; ; {
		raw, err := rows.next()
		if err != nil {
			return entry.Hash{}, err
		}
		if hash = entry.NextHash(hash, raw); !rows.more() {
			return hash, nil
		}
	}
}

// endBefore is the last place at or before seq where a signature is held; the
// log's beginning where there is none.
func endBefore(db pebble.Reader, h *chain.Head, seq uint64) (end, error) {
	it, err := db.NewIter(&pebble.IterOptions{
		LowerBound: logKey(spaceSignature, h.Farm, h.Device),
		UpperBound: seqKey(spaceSignature, h.Farm, h.Device, seq+1),
	})
	if err != nil {
		return end{}, err
	}
	e := end{hash: entry.FirstHash(h.Farm, h.Device)}
	if it.Last() {
		e, err = readEnd(it.Key(), it.Value())
	}
	return e, errors.Join(err, it.Error(), it.Close())
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

// showFork is the bytes of log before a mark of an unknown branch that are sent
// again to show the fork: thousands of a device's entries, which it will have
// parted within.
const showFork = 128 << 10

// Parted says whether a mark lies on another branch of a log than the one held
// here, and where to begin showing that, as exchange.Log says.
func (l *Log) Parted(m chain.Mark) (parted bool, from uint64, err error) {
	h := l.durable.Load().head(m.Device)
	if h == nil || m.Seq == 0 || m.Seq > h.Seq || m == h.Mark() {
		return false, 0, nil
	}
	e, err := l.store.reading()
	if err != nil {
		return false, 0, err
	}
	defer l.store.done()
	hash, err := hashAt(e.db, h, m.Seq)
	if err != nil || [8]byte(hash[:8]) == m.Hash {
		return false, 0, err
	}
	from, err = reachBack(e.db, h, m.Seq)
	return true, from, err
}

// reachBack is the number of the entry that lies about showFork bytes before
// another.
func reachBack(db pebble.Reader, h *chain.Head, seq uint64) (uint64, error) {
	it, err := db.NewIter(&pebble.IterOptions{
		LowerBound: logKey(spaceEntry, h.Farm, h.Device),
		UpperBound: seqKey(spaceEntry, h.Farm, h.Device, seq+1),
	})
	if err != nil {
		return 0, err
	}
	size := 0
	for ok := it.Last(); ok && size < showFork; ok = it.Prev() {
		size += len(it.Value())
		seq = seqOf(it.Key())
	}
	return seq, errors.Join(it.Error(), it.Close())
}
