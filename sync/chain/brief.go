package chain

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"turnrow/sync/entry"
)

// shortLen is the bytes of a short name: the last ones of a log's name, which are
// random in a device's (RFC 9562, section 5.7) and of a hash in a branch's.
const shortLen = 4

// Short is what a brief mark calls its log.
type Short [shortLen]byte

// ShortOf is a log's short name.
func ShortOf(l entry.LogID) Short { return Short(l[len(l)-shortLen:]) }

// Compare orders short names by their bytes.
func (s Short) Compare(o Short) int { return bytes.Compare(s[:], o[:]) }

// BriefMark is a mark under its log's short name.
type BriefMark struct {
	Log  Short
	Seq  uint64
	Hash entry.Brief
}

// BriefFrontier is a frontier under short names: in rising order of them, each
// once.
type BriefFrontier []BriefMark

// Brief is the frontier under short names. It is not ok where two logs share one.
func (f Frontier) Brief() (brief BriefFrontier, ok bool) {
	brief = make(BriefFrontier, len(f))
	for i, m := range f {
		brief[i] = BriefMark{ShortOf(m.Log), m.Seq, m.Hash}
	}
	slices.SortFunc(brief, func(a, b BriefMark) int { return a.Log.Compare(b.Log) })
	for i := 1; i < len(brief); i++ {
		if brief[i].Log == brief[i-1].Log {
			return nil, false
		}
	}
	return brief, true
}

// ErrShort reports a short name that two logs share.
var ErrShort = errors.New("chain: a short name is that of two logs")

// Whole gives marks the names of the logs that known has, and those whose short
// names known has not, as they are. One that it has twice gives ErrShort.
func (b BriefFrontier) Whole(known Frontier) (whole Frontier, unknown BriefFrontier, err error) {
	names := slices.Clone(known)
	slices.SortFunc(names, func(a, b Mark) int { return ShortOf(a.Log).Compare(ShortOf(b.Log)) })
	for _, m := range b {
		at, found := slices.BinarySearchFunc(names, m.Log, func(n Mark, s Short) int { return ShortOf(n.Log).Compare(s) })
		if !found {
			unknown = append(unknown, m)
			continue
		}
		name := names[at].Log
		if at+1 < len(names) && ShortOf(names[at+1].Log) == m.Log {
			return nil, nil, fmt.Errorf("%w: %s and %s", ErrShort, name, names[at+1].Log)
		}
		whole = append(whole, Mark{Log: name, Seq: m.Seq, Hash: m.Hash})
	}
	whole.sort()
	return whole, unknown, nil
}
