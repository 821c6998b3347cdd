package logstore

import (
	"encoding/binary"
	"fmt"

	"turnrow/sync/entry"
)

// The key spaces.
const (
	spaceEntry     = 'e'
	spaceSignature = 'g'
	spaceHead      = 'h'
	spaceBranch    = 'b'
	spaceFold      = 'f'
	spacePeer      = 'p'
	spaceSetting   = 's'
	spaceMeta      = 'm'

	idLen   = 16
	headLen = 1 + 2*idLen // of a key of a log
	seqLen  = headLen + 8 // of a key of an entry or signature
	farmLen = 1 + idLen   // of a key of a farm
	foldLen = farmLen + 4 // of a key of a part of a saved fold
)

// logKey is the key of a log in a space, with room for a number.
func logKey(space byte, farm entry.FarmID, log entry.LogID) []byte {
	k := make([]byte, 0, seqLen)
	k = append(k, space)
	k = append(k, farm[:]...)
	return append(k, log[:]...)
}

func seqKey(space byte, farm entry.FarmID, log entry.LogID, seq uint64) []byte {
	return binary.BigEndian.AppendUint64(logKey(space, farm, log), seq)
}

// withSeq puts a number at the end of a key that has room for one.
func withSeq(key []byte, seq uint64) []byte {
	binary.BigEndian.PutUint64(key[headLen:], seq)
	return key
}

// seqOf is the number at the end of a key.
func seqOf(key []byte) uint64 { return binary.BigEndian.Uint64(key[len(key)-8:]) }

func farmKey(space byte, farm entry.FarmID) []byte {
	return append([]byte{space}, farm[:]...)
}

// foldKey is a part of a saved fold, from 0.
func foldKey(farm entry.FarmID, part int) []byte {
	return binary.BigEndian.AppendUint32(farmKey(spaceFold, farm), uint32(part))
}

func nameKey(space byte, name string) []byte { return append([]byte{space}, name...) }

func peerKey(farm entry.FarmID, name string) []byte {
	return append(farmKey(spacePeer, farm), name...)
}

// after is the first key beyond all that begin with prefix.
func after(prefix []byte) []byte {
	end := append([]byte(nil), prefix...)
	for i := len(end) - 1; i >= 0; i-- {
		if end[i]++; end[i] != 0 {
			return end[:i+1]
		}
	}
	return nil
}

// describe names a key for people.
func describe(key []byte) string {
	if len(key) == 0 {
		return "empty key"
	}
	rest := key[1:]
	switch space := key[0]; {
	case space == spaceSetting:
		return fmt.Sprintf("setting %q", rest)
	case space == spaceMeta:
		return fmt.Sprintf("store's own %q", rest)
	case space == spaceEntry && len(key) == seqLen:
		return "entry " + describeSeq(rest)
	case space == spaceSignature && len(key) == seqLen:
		return "signature at entry " + describeSeq(rest)
	case space == spaceHead && len(key) == headLen:
		return fmt.Sprintf("head of device %s of farm %s", entry.LogID(rest[idLen:]), entry.FarmID(rest[:idLen]))
	case space == spaceBranch && len(key) == headLen:
		return fmt.Sprintf("branch %s of farm %s", entry.LogID(rest[idLen:]), entry.FarmID(rest[:idLen]))
	case space == spaceFold && len(key) == farmLen:
		return fmt.Sprintf("saved state of farm %s", entry.FarmID(rest))
	case space == spaceFold && len(key) == foldLen:
		return fmt.Sprintf("part %d of the saved state of farm %s", binary.BigEndian.Uint32(rest[idLen:]), entry.FarmID(rest[:idLen]))
	case space == spacePeer && len(key) >= farmLen:
		return fmt.Sprintf("frontier of peer %q of farm %s", rest[idLen:], entry.FarmID(rest[:idLen]))
	}
	return fmt.Sprintf("key %x", key)
}

func describeSeq(rest []byte) string {
	return fmt.Sprintf("%d of device %s of farm %s", seqOf(rest), entry.LogID(rest[idLen:2*idLen]), entry.FarmID(rest[:idLen]))
}
