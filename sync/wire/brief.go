package wire

import (
	"encoding/binary"
	"fmt"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// brief reads a frontier under short names, which must be in order.
func brief(b []byte) (chain.BriefFrontier, error) {
	var f chain.BriefFrontier
	for len(b) > 0 {
		var m chain.BriefMark
		n := copy(m.Log[:], b)
		seq, size := binary.Uvarint(b[n:])
		if n < len(m.Log) || size <= 0 || len(b)-n-size < len(m.Hash) || len(f) == entry.MaxDevices {
			return nil, fmt.Errorf("%w: brief frontier, torn at mark %d or of more than %d", ErrMessage, len(f)+1, entry.MaxDevices)
		}
		b = b[n+size:]
		m.Seq = seq
		b = b[copy(m.Hash[:], b):]
		if len(f) > 0 && f[len(f)-1].Log.Compare(m.Log) >= 0 {
			return nil, fmt.Errorf("%w: brief frontier out of order", ErrMessage)
		}
		f = append(f, m)
	}
	return f, nil
}

// briefOut writes a frontier under short names.
func briefOut(f chain.BriefFrontier) []byte {
	var b []byte
	for i := range f {
		b = append(b, f[i].Log[:]...)
		b = binary.AppendUvarint(b, f[i].Seq)
		b = append(b, f[i].Hash[:]...)
	}
	return b
}

// An answer tells of a log that it knows by its short name alone under that name
// and as many zero bytes before it as make it as long as others. This is so in
// the message only.

// short is the short name under which an answer's mark stands; not ok where it has
// its log's own name.
func short(m *chain.Mark) (s chain.Short, ok bool) {
	s = chain.ShortOf(m.Log)
	return s, m.Log == lengthened(s)
}

func lengthened(s chain.Short) (name entry.LogID) {
	copy(name[len(name)-len(s):], s[:])
	return name
}

// answerOut is how far an answer says that logs are stored: of those that are
// unknown, that nothing is.
func answerOut(stored chain.Frontier, unknown chain.BriefFrontier) chain.Frontier {
	for _, m := range unknown {
		if m.Seq > 0 {
			stored = append(stored, chain.Mark{Log: lengthened(m.Log)})
		}
	}
	return inOrder(stored)
}

// answered reads what an answer says is stored, for an asker who has logs of the
// names in have. A mark of a log that is not among these stays as it is: a device
// may have made itself a name like that.
func answered(stored, have chain.Frontier) (chain.Frontier, error) {
	var out chain.Frontier
	var told chain.BriefFrontier
	for i := range stored {
		if s, ok := short(&stored[i]); ok {
			told = append(told, chain.BriefMark{Log: s, Seq: stored[i].Seq, Hash: stored[i].Hash})
		} else {
			out = append(out, stored[i])
		}
	}
	whole, unknown, err := told.Whole(have)
	if err != nil {
		return nil, err
	}
	for _, m := range unknown {
		out = append(out, chain.Mark{Log: lengthened(m.Log), Seq: m.Seq, Hash: m.Hash})
	}
	return inOrder(append(out, whole...)), nil
}

func inOrder(f chain.Frontier) chain.Frontier {
	slices.SortFunc(f, func(a, b chain.Mark) int { return a.Log.Compare(b.Log) })
	return f
}
