// Package entry is one line of the record: who wrote what, when, knowing what.
//
// An entry is never changed and never removed. Each device writes its own log
// of entries, numbered from 1 without gaps. The log's hashes form a chain,
//
//	h(0) = SHA-256(tag, farm, device)
//	h(n) = SHA-256(tag, h(n-1), bytes of entry n)
//
// and the device's Ed25519 key signs h(n), so that one signature vouches for
// everything before it. The bytes that were hashed are kept as they are and
// never encoded again; package wire turns them into the values here.
//
// A body says what happened. Bodies grow by new kinds, not by new fields: a
// body with a field that a reader does not know is kept whole as [Unknown]
// and takes effect once the reader is brought up to date.
package entry

import (
	"cmp"

	"turnrow/sync/hlc"
)

// Entry is one entry, decoded: its references are absolute. The zero Person is
// the device's own person.
type Entry struct {
	ID
	Hash   Brief    // of the writer's log at this entry
	Clock  hlc.Time // the writer's wall clock, or moved on from there by what it had seen
	Wall   int64    // the device's own wall clock, ms since 1970, right or wrong: to show, and for paces; never to order
	Person ID       // who did it
	Seen   []Mark   // other devices' logs: how far the writer had seen each, where that changed since its last entry
	Body   Body
}

// Earlier says whether e's clock stands before o's, or e's log and number
// where the clocks are the same. It is not the order of the record, which puts
// what a writer had seen first whatever the clocks say: package farm works that
// out.
func (e *Entry) Earlier(o *Entry) bool {
	return cmp.Or(cmp.Compare(e.Clock, o.Clock), e.ID.Compare(o.ID)) < 0
}

// Mark is the entry's own mark.
func (e *Entry) Mark() Mark { return Mark{e.Log, e.Seq, e.Hash} }

// Draft is an entry about to be written: what its device adds to its log.
type Draft struct {
	Clock  hlc.Time
	Wall   int64
	Person ID
	Seen   []Mark // as in Entry: only what changed
	Body   Body
}

// Run is a stretch of one device's log as it travels: raw bytes, and the
// device's signature over its chain at the end of the stretch. Nothing about
// it has been checked; package chain does that.
type Run struct {
	Device  DeviceID
	First   uint64   // number of the first entry in Entries
	Entries [][]byte // the very bytes that were written and signed
	Sig     Signature
}

// Last is the number of the run's last entry; First-1 where it is empty.
func (r *Run) Last() uint64 { return r.First + uint64(len(r.Entries)) - 1 }

// Size is the number of bytes of the run's entries, with a little for the
// frame of each.
func (r *Run) Size() int {
	const frame, header = 3, 100
	n := header
	for _, e := range r.Entries {
		n += len(e) + frame
	}
	return n
}
