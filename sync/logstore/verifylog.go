package logstore

import (
	"errors"
	"fmt"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// logCheck checks one device's log from its first entry on.
type logCheck struct {
	*verifier
	name    logName
	branch  *branch          // where the log is a branch of another
	ends    *pebble.Iterator // over the log's signatures
	head    chain.Head       // computed, up to the entry read last
	lost    bool             // an entry could not be read: head's clock and peers are not known
	suspect bool             // something since the last signature has been found wrong already
	signed  uint64           // where the last signature is
}

func (c *logCheck) key(space byte, seq uint64) []byte {
	switch {
	case space == spaceHead && c.branch != nil:
		return branchKey(c.name.farm, c.name.log)
	case space == spaceHead:
		return logKey(space, c.name.farm, c.name.log)
	}
	return seqKey(space, c.name.farm, c.name.log, seq)
}

func (c *logCheck) iter(space byte) (*pebble.Iterator, error) {
	prefix := logKey(space, c.name.farm, c.name.log)
	return c.db.NewIter(&pebble.IterOptions{LowerBound: append(prefix, make([]byte, 8)...), UpperBound: after(prefix)})
}

func (c *logCheck) run() {
	rows, err := c.iter(spaceEntry)
	if err != nil {
		c.failed(c.key(spaceEntry, 1), err)
		return
	}
	c.begin()
	if c.ends, err = c.iter(spaceSignature); err != nil {
		c.failed(c.key(spaceSignature, 1), errors.Join(err, rows.Close()))
		return
	}
	c.ends.First()
	for ok := rows.First(); ok; ok = rows.Next() {
		c.entry(rows.Key(), rows.Value())
	}
	c.failed(c.key(spaceEntry, c.head.Seq+1), errors.Join(rows.Error(), rows.Close()))
	c.strays(^uint64(0))
	c.failed(c.key(spaceSignature, c.head.Seq+1), errors.Join(c.ends.Error(), c.ends.Close()))
	c.end()
}

// begin sets the head before the first entry.
func (c *logCheck) begin() {
	c.head = chain.Start(c.name.farm, c.name.log.Device(), entry.Key{})
	key := branchKey(c.name.farm, c.name.log)
	value, closer, err := c.db.Get(key)
	if err != nil {
		return // no branch: what is damaged has been found already
	}
	if br, err := readBranch(key, value); err == nil {
		c.branch, c.lost, c.signed = br, true, br.first-1
		c.head.Key, c.head.Seq, c.head.Hash = br.head.Key, br.first-1, br.before
	}
	c.failed(key, closer.Close())
}

// entry checks the next entry.
func (c *logCheck) entry(key, value []byte) {
	seq := seqOf(key)
	if seq != c.head.Seq+1 {
		c.fault(c.key(spaceEntry, c.head.Seq+1), "missing")
		c.head.Seq = seq - 1
		c.lost, c.suspect = true, true
		c.strays(seq)
	}
	raw, err := payload(key, value)
	if err != nil {
		c.failed(key, err)
		c.suspect, raw = true, value[min(sumLen, len(value)):]
	}
	c.read(key, raw)
	c.report.Entries++
	c.tell(false)
	if c.ends.Valid() && seqOf(c.ends.Key()) == seq {
		c.signature(c.ends.Key(), c.ends.Value())
		c.ends.Next()
	}
}

// read decodes an entry and moves the head on.
func (c *logCheck) read(key, raw []byte) {
	hash, seq := entry.NextHash(c.head.Hash, raw), c.head.Seq+1
	if seq == 1 && c.branch == nil {
		named, err := wire.Start(c.name.farm, c.name.log.Device(), raw)
		if err == nil {
			c.head = named
		}
	}
	if !c.lost {
		if _, err := wire.NewDecoder(&c.head).Next(raw); err != nil {
			c.lost = true
			if !c.suspect {
				c.failed(key, err)
			}
		}
	}
	c.head.Seq, c.head.Hash = seq, hash
}

// signature checks the chain and the device's signature where one is held.
func (c *logCheck) signature(key, value []byte) {
	since := c.signed + 1
	c.signed = seqOf(key)
	e, err := readEnd(key, value)
	if err != nil {
		c.failed(key, err)
		return
	}
	if e.hash != c.head.Hash && !c.suspect {
		c.fault(c.key(spaceEntry, e.seq), fmt.Sprintf("entries %d to %d are not those that were signed", since, e.seq))
	}
	if c.head.Key == (entry.Key{}) {
		c.borrowKey()
	}
	c.sign(key, c.head.Key, e)
	c.head.Hash, c.suspect = e.hash, false
}

// borrowKey takes the device's key from the stored head, where the first entry
// could not be read.
func (c *logCheck) borrowKey() {
	if v, err := get(c.db, c.key(spaceHead, 0)); err == nil && v != nil {
		if h, _, err := readHead(c.name.farm, c.name.log, v); err == nil {
			c.head.Key = h.Key
		}
	}
}

// strays finds signatures of entries before seq that are not there.
func (c *logCheck) strays(seq uint64) {
	for ; c.ends.Valid() && seqOf(c.ends.Key()) < seq; c.ends.Next() {
		c.fault(c.ends.Key(), "signature without its entry")
	}
}

// end checks the stored head against what the log amounts to.
func (c *logCheck) end() {
	key := c.key(spaceHead, 0)
	h, ok := c.stored(key)
	if !ok {
		return
	}
	switch {
	case h.Seq != c.head.Seq:
		c.fault(key, fmt.Sprintf("it ends at entry %d, the log at %d", h.Seq, c.head.Seq))
	case h.Hash != c.head.Hash && !c.suspect:
		c.fault(key, "its hash is not the log's")
	case c.signed != h.Seq:
		c.fault(key, fmt.Sprintf("no signature at the log's end, entry %d; the last is at %d", h.Seq, c.signed))
	case !c.lost && !sameReading(&h, &c.head):
		c.fault(key, "its clock, key or devices seen are not the log's")
	}
}

// stored is the log's head as it is stored, where it can be read; what cannot
// has been found already, unless it is not there at all.
func (c *logCheck) stored(key []byte) (chain.Head, bool) {
	if c.branch != nil {
		return c.branch.head, true
	}
	value, err := get(c.db, key)
	if errors.Is(err, ErrCorrupt) {
		return chain.Head{}, false
	}
	if value == nil {
		c.failed(key, errors.Join(errors.New("missing"), err))
		return chain.Head{}, false
	}
	h, _, err := readHead(c.name.farm, c.name.log, value)
	return h, err == nil
}

func sameReading(a, b *chain.Head) bool {
	return a.Key == b.Key && a.Clock == b.Clock && a.Bytes == b.Bytes && slices.Equal(a.Peers, b.Peers) && slices.Equal(a.Seen, b.Seen)
}
