package wire

import (
	"errors"
	"fmt"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
)

// ErrFold reports a saved fold that cannot be read: torn, of another version
// or of another farm. The log itself still has everything.
var ErrFold = errors.New("wire: saved fold cannot be read")

// A saved fold is the entries of a state, causes first, in the fewest bytes
// that read back fast: no hashes to check, no signatures, and references by a
// table of devices at its head. It is a local file of one version of turnrow:
// another version reads the log instead.
//
//	"turnrow fold 1\n", last kind of body known, farm (16 bytes),
//	number of devices, devices (16 each),
//	then chunks: number of entries, number of bytes, entries
//
// Chunks stand alone, so that one can be read while another is applied.
var foldMagic = "turnrow fold 1\n" + string(rune(entry.LastKind))

// foldChunk is how many entries a chunk has: enough to make chunks few, few
// enough to keep two processors busy from the start.
const foldChunk = 4096

// SaveFold writes a state.
func SaveFold(s *farm.State) []byte {
	f := &foldWriter{place: map[entry.DeviceID]uint64{}}
	f.w.ref = f.pack
	s.Entries(f.add)
	f.flush()
	out := append([]byte(foldMagic), idBytes(s.Farm())...)
	out = protowire.AppendVarint(out, uint64(len(f.devices)))
	for _, d := range f.devices {
		out = append(out, d[:]...)
	}
	return append(out, f.out...)
}

func idBytes(f entry.FarmID) []byte { return f[:] }

type foldWriter struct {
	devices []entry.DeviceID
	place   map[entry.DeviceID]uint64
	out     []byte // chunks done
	w       writer // the chunk being written
	body    []byte
	n       uint64 // entries in it
	clock   hlc.Time
}

func (f *foldWriter) pack(id entry.ID) (uint64, error) {
	i, ok := f.place[id.Device]
	if !ok {
		i = uint64(len(f.devices))
		f.place[id.Device] = i
		f.devices = append(f.devices, id.Device)
	}
	return id.Seq<<refBits | i, nil
}

func (f *foldWriter) num(v uint64) { f.w.buf = protowire.AppendVarint(f.w.buf, v) }

func (f *foldWriter) id(id entry.ID) {
	if id.IsZero() {
		f.num(0)
		return
	}
	p, _ := f.pack(id)
	f.num(p)
}

func (f *foldWriter) add(e entry.Entry) {
	f.id(e.ID)
	f.num(protowire.EncodeZigZag(int64(e.Clock - f.clock)))
	f.clock = e.Clock
	f.num(protowire.EncodeZigZag(e.Wall - e.Clock.Millis()))
	f.id(e.Person)
	f.num(uint64(len(e.Seen)))
	for _, s := range e.Seen {
		f.id(s)
	}
	f.addBody(e.Body)
	if f.n++; f.n == foldChunk {
		f.flush()
	}
}

// addBody writes a body's kind, length and fields; an unknown one's reason
// comes before its bytes, under kind 0.
func (f *foldWriter) addBody(b entry.Body) {
	chunk := f.w.buf
	f.w.buf = f.body[:0]
	kind := b.Kind()
	if u, ok := b.(*entry.Unknown); ok {
		kind = 0
		f.num(uint64(u.Num))
		f.w.buf = protowire.AppendString(f.w.buf, u.Why)
		f.w.buf = append(f.w.buf, u.Raw...)
	} else {
		b.Fields(&f.w)
	}
	f.body, f.w.buf = f.w.buf, chunk
	f.num(uint64(kind))
	f.w.buf = protowire.AppendBytes(f.w.buf, f.body)
}

func (f *foldWriter) flush() {
	if f.n == 0 {
		return
	}
	f.out = protowire.AppendVarint(f.out, f.n)
	f.out = protowire.AppendBytes(f.out, f.w.buf)
	f.w.buf, f.n, f.clock = f.w.buf[:0], 0, 0
}

// Fold is a saved fold, ready to be read.
type Fold struct {
	devices []entry.DeviceID
	chunks  []foldPart
}

type foldPart struct {
	n   int
	buf []byte
}

// OpenFold reads a saved fold's head and where its chunks are. It gives
// ErrFold for one that is not of this version and this farm.
func OpenFold(id entry.FarmID, b []byte) (*Fold, error) {
	head := len(foldMagic) + len(id)
	if len(b) < head || string(b[:len(foldMagic)]) != foldMagic || entry.FarmID(b[len(foldMagic):head]) != id {
		return nil, ErrFold
	}
	c := &foldReader{b: b[head:]}
	f := &Fold{}
	for range c.count(entry.MaxDevices) {
		f.devices = append(f.devices, entry.DeviceID(c.take(16)))
	}
	for len(c.b) > 0 && !c.bad {
		n, part := c.count(foldChunk), c.bytes()
		c.bad = c.bad || n > len(part) // an entry takes a byte at least
		f.chunks = append(f.chunks, foldPart{n, part})
	}
	if c.bad {
		return nil, fmt.Errorf("%w: torn", ErrFold)
	}
	return f, nil
}

// Chunks is the number of chunks.
func (f *Fold) Chunks() int { return len(f.chunks) }

// Chunk reads the entries of one chunk. Chunks may be read at the same time,
// and are to be applied in their order. It gives ErrFold where it is torn.
func (f *Fold) Chunk(i int) ([]entry.Entry, error) {
	c := &foldReader{b: f.chunks[i].buf, devices: f.devices}
	c.r.ref = c.unpack
	es := make([]entry.Entry, f.chunks[i].n)
	var clock hlc.Time
	for j := range es {
		e := &es[j]
		e.ID = c.id()
		clock += hlc.Time(protowire.DecodeZigZag(c.num()))
		e.Clock = clock
		e.Wall = clock.Millis() + protowire.DecodeZigZag(c.num())
		e.Person = c.id()
		for range c.count(entry.MaxDevices) {
			e.Seen = append(e.Seen, c.id())
		}
		e.Body = c.body()
		if c.bad || e.Body == nil {
			return nil, fmt.Errorf("%w: entry %d of chunk %d", ErrFold, j, i)
		}
	}
	return es, nil
}

type foldReader struct {
	b       []byte
	devices []entry.DeviceID
	r       reader
	bad     bool
}

func (c *foldReader) num() uint64 {
	v, n := protowire.ConsumeVarint(c.b)
	if n < 0 {
		c.bad, c.b = true, nil
		return 0
	}
	c.b = c.b[n:]
	return v
}

func (c *foldReader) count(most int) int {
	n := c.num()
	if n > uint64(most) {
		c.bad = true
		return 0
	}
	return int(n)
}

func (c *foldReader) bytes() []byte {
	v, n := protowire.ConsumeBytes(c.b)
	if n < 0 {
		c.bad, c.b = true, nil
		return nil
	}
	c.b = c.b[n:]
	return v
}

// take is the next n bytes; zeros where there are not so many.
func (c *foldReader) take(n int) []byte {
	if len(c.b) < n {
		c.bad, c.b = true, nil
		return make([]byte, n)
	}
	v := c.b[:n]
	c.b = c.b[n:]
	return v
}

func (c *foldReader) id() entry.ID {
	n := c.num()
	if n == 0 {
		return entry.ID{}
	}
	id, ok := c.unpack(n)
	c.bad = c.bad || !ok
	return id
}

func (c *foldReader) unpack(n uint64) (entry.ID, bool) {
	i, seq := int(n&refMask), n>>refBits
	if i >= len(c.devices) || seq == 0 {
		return entry.ID{}, false
	}
	return entry.ID{Device: c.devices[i], Seq: seq}, true
}

// body is the next body; nil where it cannot be read.
func (c *foldReader) body() entry.Body {
	kind, raw := entry.Kind(c.num()), c.bytes()
	if kind == 0 {
		inner := foldReader{b: raw}
		u := &entry.Unknown{Num: entry.Kind(inner.num()), Why: string(inner.bytes())}
		u.Raw = append([]byte{}, inner.b...)
		c.bad = c.bad || inner.bad
		return u
	}
	b := entry.New(kind)
	if b == nil {
		return nil
	}
	c.r.buf, c.r.why, c.r.last = raw, "", 0
	b.Fields(&c.r)
	if c.r.done(); c.r.why != "" || b.Check() != nil {
		return nil
	}
	return b
}
