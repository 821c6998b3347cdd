package wire

import (
	"encoding/binary"
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// brief reads a frontier under short names, which must be in order.
func brief(b []byte) (chain.Frontier, error) {
	var f chain.Frontier
	for len(b) > 0 {
		var s chain.Short
		var m chain.Mark
		n := copy(s[:], b)
		seq, size := binary.Uvarint(b[n:])
		if n < len(s) || size <= 0 || len(b)-n-size < len(m.Hash) || len(f) == entry.MaxDevices {
			return nil, fmt.Errorf("%w: brief frontier, torn at mark %d or of more than %d", ErrMessage, len(f)+1, entry.MaxDevices)
		}
		b = b[n+size:]
		m.Device, m.Seq = s.Device(), seq
		b = b[copy(m.Hash[:], b):]
		if len(f) > 0 && f[len(f)-1].Device.Compare(m.Device) >= 0 {
			return nil, fmt.Errorf("%w: brief frontier out of order", ErrMessage)
		}
		f = append(f, m)
	}
	return f, nil
}

// briefOut writes a frontier under short names.
func briefOut(f chain.Frontier) []byte {
	var b []byte
	for i := range f {
		s := chain.ShortOf(f[i].Device)
		b = append(b, s[:]...)
		b = binary.AppendUvarint(b, f[i].Seq)
		b = append(b, f[i].Hash[:]...)
	}
	return b
}
