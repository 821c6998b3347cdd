package logstore

import (
	"encoding/binary"
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// appendHead writes a head, but for its farm and log.
func appendHead(b []byte, h *chain.Head) []byte {
	b = append(b, h.Key[:]...)
	b = append(b, h.Hash[:]...)
	b = binary.AppendUvarint(b, h.Seq)
	b = binary.AppendUvarint(b, uint64(h.Clock))
	b = binary.AppendUvarint(b, h.Bytes)
	b = binary.AppendUvarint(b, uint64(len(h.Peers)))
	for i := range h.Peers {
		b = append(b, h.Peers[i][:]...)
		b = binary.AppendUvarint(b, h.Seen[i])
	}
	return b
}

// readHead reads what appendHead wrote and gives the bytes after it.
func readHead(farm entry.FarmID, log entry.LogID, b []byte) (chain.Head, []byte, error) {
	r := parser{b: b}
	h := chain.Head{Farm: farm, Log: log}
	copy(h.Key[:], r.bytes(len(h.Key)))
	copy(h.Hash[:], r.bytes(len(h.Hash)))
	h.Seq, h.Clock, h.Bytes = r.uint(), hlc.Time(r.uint()), r.uint()
	n := r.count(entry.MaxDevices)
	h.Peers, h.Seen = make([]entry.LogID, n), make([]uint64, n)
	for i := range n {
		copy(h.Peers[i][:], r.bytes(idLen))
		h.Seen[i] = r.uint()
	}
	if r.bad || n == 0 || h.Peers[0] != log {
		return chain.Head{}, nil, fmt.Errorf("%w: head of device %s of farm %s", ErrCorrupt, log, farm)
	}
	return h, r.b, nil
}

func appendFrontier(b []byte, f chain.Frontier) []byte {
	b = binary.AppendUvarint(b, uint64(len(f)))
	for i := range f {
		b = append(b, f[i].Log[:]...)
		b = append(b, f[i].Hash[:]...)
		b = binary.AppendUvarint(b, f[i].Seq)
	}
	return b
}

// readFrontier reads what appendFrontier wrote and gives the bytes after it.
func readFrontier(b []byte) (chain.Frontier, []byte, error) {
	r := parser{b: b}
	f := make(chain.Frontier, r.count(len(b)/(idLen+8)))
	for i := range f {
		copy(f[i].Log[:], r.bytes(idLen))
		copy(f[i].Hash[:], r.bytes(8))
		f[i].Seq = r.uint()
	}
	if r.bad {
		return nil, nil, fmt.Errorf("%w: frontier", ErrCorrupt)
	}
	return f, r.b, nil
}

// parser reads off the front of b; bad says that it came up short.
type parser struct {
	b   []byte
	bad bool
}

func (r *parser) bytes(n int) []byte {
	if r.bad || len(r.b) < n {
		r.bad = true
		return nil
	}
	v := r.b[:n]
	r.b = r.b[n:]
	return v
}

func (r *parser) uint() uint64 {
	v, n := binary.Uvarint(r.b)
	if r.bad || n <= 0 {
		r.bad = true
		return 0
	}
	r.b = r.b[n:]
	return v
}

// count is a number of things to follow, most at the most.
func (r *parser) count(most int) int {
	n := r.uint()
	if n > uint64(most) {
		r.bad = true
		return 0
	}
	return int(n)
}
