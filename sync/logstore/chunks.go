package logstore

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"iter"
	"math/bits"
)

// The engine's log is blocks of blockLen bytes, with chunks in them: a checksum
// over what follows the length, a length, a kind, the log's number, how far the
// log had been synced, and the bytes of a record or of a part of one. These are
// as Pebble v2 writes them (its package record).
const (
	blockLen     = 32 << 10
	chunkLog     = 4 + 2 + 1    // where the log's number is
	chunkHeader  = chunkLog + 4 // of kinds 5 to 8
	syncedHeader = chunkHeader + 8
	// kinds come in fours: whole, first, middle, last
	kindPlain  = 5
	kindSynced = 9
	kindsEnd   = 13
)

// logScan is what a log was found to hold.
type logScan struct {
	records [][]byte
	mended  int // chunks with one wrong bit, which their checksum names
}

// scanLog reads all records of a log, also those beyond damage.
func scanLog(data []byte, log uint32) (s logScan) {
	var part []byte // of a record whose first chunk was read; nil where there is none
	for _, c := range chunks(data, log, true) {
		if c.size == 0 {
			part = nil
			continue
		}
		if c.mended {
			s.mended++
		}
		part = s.take(c, part)
	}
	return s
}

// holed says whether a log is damaged where it had been synced. It is asked at
// each opening, so it neither mends nor keeps anything: a log's file is used
// again, and beyond its end is what it held before.
func holed(data []byte, log uint32) bool {
	broken := -1
	for pos, c := range chunks(data, log, false) {
		if broken >= 0 && c.synced > uint64(broken) {
			return true
		}
		if c.size == 0 && broken < 0 {
			broken = pos
		}
	}
	return false
}

// chunks gives the chunks of a log and where they are; one without a size
// stands for what cannot be read, which is the log's end if nothing follows.
func chunks(data []byte, log uint32, mend bool) iter.Seq2[int, chunk] {
	return func(yield func(int, chunk) bool) {
		for pos := 0; pos+chunkHeader <= len(data); {
			end := min(pos/blockLen*blockLen+blockLen, len(data))
			c, next := nextChunk(data, pos, end, log, mend)
			if !fills(data[pos:end]) && !yield(pos, c) {
				return
			}
			pos = next
		}
	}
}

// nextChunk reads the chunk at pos, in the block that ends at end, and says
// where to read on.
func nextChunk(data []byte, pos, end int, log uint32, mend bool) (chunk, int) {
	if fills(data[pos:end]) || zero(data[pos:end]) {
		return chunk{}, end
	}
	c, ok := chunkAt(data[pos:end], log)
	if !ok && mend {
		c, ok = mendChunk(data[pos:end], log)
		c.mended = ok
	}
	if !ok {
		return chunk{}, resync(data, pos+1, end, log)
	}
	return c, pos + c.size
}

// take puts a chunk to the record that it is of, and gives the part of one that
// is read so far. One whose first chunk was lost is no record.
func (s *logScan) take(c chunk, part []byte) []byte {
	switch {
	case c.kind == 0:
		s.records = append(s.records, c.bytes)
		return nil
	case c.kind == 1:
		return append([]byte{}, c.bytes...)
	case part == nil:
		return nil
	case c.kind == 2:
		return append(part, c.bytes...)
	}
	s.records = append(s.records, append(part, c.bytes...))
	return nil
}

// fills says whether the rest of a block is too short for a chunk.
func fills(b []byte) bool { return len(b) < chunkHeader || len(b) < syncedHeader && zero(b) }

func zero(b []byte) bool {
	for _, x := range b {
		if x != 0 {
			return false
		}
	}
	return true
}

type chunk struct {
	kind   int // 0 whole, 1 first, 2 middle, 3 last
	synced uint64
	bytes  []byte
	size   int
	mended bool
}

// shape reads a chunk's header, whatever its checksum.
func shape(b []byte, log uint32) (c chunk, ok bool) {
	if len(b) < chunkHeader {
		return c, false
	}
	kind, header := int(b[6]), chunkHeader
	if kind < kindPlain || kind >= kindsEnd || binary.LittleEndian.Uint32(b[chunkLog:]) != log {
		return c, false
	}
	if kind >= kindSynced {
		header = syncedHeader
	}
	c.size = header + int(binary.LittleEndian.Uint16(b[4:]))
	if c.size > len(b) {
		return c, false
	}
	if kind >= kindSynced {
		c.synced = binary.LittleEndian.Uint64(b[chunkHeader:])
	}
	c.kind, c.bytes = (kind-kindPlain)%4, b[header:c.size]
	return c, true
}

func chunkAt(b []byte, log uint32) (chunk, bool) {
	c, ok := shape(b, log)
	return c, ok && binary.LittleEndian.Uint32(b) == masked(b[6:c.size])
}

// resync is where the next whole chunk begins, at the latest at end.
func resync(data []byte, from, end int, log uint32) int {
	number := binary.LittleEndian.AppendUint32(nil, log)
	for from+chunkHeader <= end {
		at := bytes.Index(data[from+chunkLog:end], number)
		if at < 0 {
			return end
		}
		from += at
		if _, ok := chunkAt(data[from:end], log); ok {
			return from
		}
		from++
	}
	return end
}

// masked is a chunk's checksum: CRC-32C, turned so that a checksum of
// checksums is not one of itself.
func masked(b []byte) uint32 {
	c := crc32.Checksum(b, castagnoli)
	return bits.RotateLeft32(c, -15) + 0xa282ead8
}

// mendChunk finds the one wrong bit of a chunk, if there is just one: in its
// length, its checksum, or what the checksum is over.
func mendChunk(b []byte, log uint32) (chunk, bool) {
	if len(b) < chunkHeader {
		return chunk{}, false
	}
	try := append([]byte{}, b...)
	for bit := range 16 {
		try[4+bit/8] ^= 1 << (bit % 8)
		if c, ok := chunkAt(try, log); ok {
			return c, true
		}
		try[4+bit/8] ^= 1 << (bit % 8)
	}
	sum := binary.LittleEndian.Uint32(b)
	for size := range sizes(b) {
		got := masked(b[6:size])
		if bits.OnesCount32(got^sum) == 1 {
			binary.LittleEndian.PutUint32(try, got)
			return chunkAt(try, log)
		}
		want := bits.RotateLeft32(sum-0xa282ead8, 15)
		if at, ok := wrongBit(b[6:size], want); ok {
			try[6+at/8] ^= 1 << (at % 8)
			return chunkAt(try, log)
		}
	}
	return chunk{}, false
}

// sizes are the lengths that a chunk may have by its header, whose kind may be
// wrong.
func sizes(b []byte) func(func(int) bool) {
	return func(yield func(int) bool) {
		for _, header := range []int{syncedHeader, chunkHeader} {
			size := header + int(binary.LittleEndian.Uint16(b[4:]))
			if size <= len(b) && !yield(size) {
				return
			}
		}
	}
}

// wrongBit is the bit of b that, turned, gives it a checksum. A checksum is
// linear: what one bit changes of it depends only on how far the bit is from the
// end.
func wrongBit(b []byte, want uint32) (at int, ok bool) {
	diff := crc32.Checksum(b, castagnoli) ^ want
	for bit := range 8 {
		change := castagnoli[1<<bit]
		for i := len(b) - 1; i >= 0; i-- {
			if change == diff {
				return 8*i + bit, true
			}
			change = castagnoli[byte(change)] ^ change>>8
		}
	}
	return 0, false
}
