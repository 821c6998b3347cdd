package wire

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"google.golang.org/protobuf/encoding/protowire"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
)

// ErrFold reports a saved fold that cannot be read: torn, of another version
// or of another farm. The log itself still has everything.
var ErrFold = errors.New("wire: saved fold cannot be read")

// A saved fold is the entries of a state, in total order but for those that
// wait, in the fewest bytes that read back fast: no hashes to check, no
// signatures, and references by a table of logs at its head. It is a local
// file of one version of turnrow: another version reads the log instead.
//
//	"turnrow fold 3\n", last kind of body known, farm (16 bytes),
//	number of logs, their names (16 each),
//	then chunks: number of entries, number of bytes, entries
//
// Chunks stand alone, so that one can be read while another is applied.
var foldMagic = "turnrow fold 3\n" + string(rune(entry.LastKind))

// foldChunk is how many entries a chunk has: enough to make chunks few, few
// enough to keep two processors busy from the start.
const foldChunk = 512

// SaveFold writes a state.
func SaveFold(s *farm.State) []byte {
	f := &foldWriter{place: map[entry.LogID]uint64{}}
	f.w.ref = f.pack
	s.Entries(f.add)
	f.flush()
	out := append([]byte(foldMagic), idBytes(s.Farm())...)
	out = protowire.AppendVarint(out, uint64(len(f.logs)))
	for _, d := range f.logs {
		out = append(out, d[:]...)
	}
	return append(out, f.out...)
}

func idBytes(f entry.FarmID) []byte { return f[:] }

type foldWriter struct {
	logs  []entry.LogID          // in the order in which entries name them
	place map[entry.LogID]uint64 // place[logs[i]] is i
	out   []byte                 // chunks done
	w     writer                 // the chunk being written
	body  []byte                 // room for one body, used again for the next
	n     uint64                 // entries in the chunk
	clock hlc.Time               // of the entry before in the chunk; 0 at its beginning, so that each is read alone
}

func (f *foldWriter) pack(id entry.ID) (uint64, error) {
	i, ok := f.place[id.Log]
	if !ok {
		i = uint64(len(f.logs))
		f.place[id.Log] = i
		f.logs = append(f.logs, id.Log)
	}
	return packed(int(i), id.Seq), nil
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
	f.w.buf = append(f.w.buf, e.Hash[:]...)
	f.num(protowire.EncodeZigZag(int64(e.Clock - f.clock)))
	f.clock = e.Clock
	f.num(protowire.EncodeZigZag(e.Wall - e.Clock.Millis()))
	f.id(e.Person)
	f.num(uint64(len(e.Seen)))
	for _, s := range e.Seen {
		f.id(s.ID())
		f.w.buf = append(f.w.buf, s.Hash[:]...)
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

// Fold is a saved fold that is being read.
type Fold struct {
	r     *bufio.Reader
	logs  []entry.LogID
	maker entry.Maker
	buf   bytes.Buffer // the chunk's bytes
}

// OpenFold reads a saved fold's head. It gives ErrFold for one that is not of
// this version and this farm.
func OpenFold(id entry.FarmID, r io.Reader) (*Fold, error) {
	f := &Fold{r: bufio.NewReaderSize(r, 1<<16)}
	head := make([]byte, len(foldMagic)+len(id))
	if _, err := io.ReadFull(f.r, head); err != nil {
		return nil, tornFold(err)
	}
	if string(head[:len(foldMagic)]) != foldMagic || entry.FarmID(head[len(foldMagic):]) != id {
		return nil, ErrFold
	}
	n, err := f.count(entry.MaxDevices)
	if err != nil {
		return nil, tornFold(err)
	}
	for range n {
		var d entry.LogID
		if _, err := io.ReadFull(f.r, d[:]); err != nil {
			return nil, tornFold(err)
		}
		f.logs = append(f.logs, d)
	}
	return f, nil
}

func tornFold(err error) error { return fmt.Errorf("%w: torn: %w", ErrFold, err) }

// count reads a number that is no more than most.
func (f *Fold) count(most int) (int, error) {
	n, err := binary.ReadUvarint(f.r)
	if err == nil && n > uint64(most) {
		err = fmt.Errorf("%d where at most %d can be", n, most)
	}
	return int(n), err
}

// Next reads the entries of the next chunk into es, which it may make longer.
// It gives io.EOF at the end, and ErrFold where the fold is torn.
func (f *Fold) Next(es []entry.Entry) ([]entry.Entry, error) {
	if _, err := f.r.Peek(1); err == io.EOF {
		return nil, err
	} else if err != nil {
		return nil, tornFold(err)
	}
	n, err1 := f.count(foldChunk)
	size, err2 := f.count(math.MaxInt)
	f.buf.Reset()
	_, err3 := io.CopyN(&f.buf, f.r, int64(size)) // no more memory than there are bytes
	if err := errors.Join(err1, err2, err3); err != nil {
		return nil, tornFold(err)
	}
	if n > size {
		return nil, tornFold(io.ErrUnexpectedEOF) // an entry takes a byte at least
	}
	c := &foldReader{b: f.buf.Bytes(), logs: f.logs, maker: &f.maker}
	c.r.ref = c.unpack
	es = slices.Grow(es[:0], n)[:n]
	var clock hlc.Time
	for j := range es {
		e := &es[j]
		c.id(&e.ID)
		c.brief(&e.Hash)
		clock += hlc.Time(protowire.DecodeZigZag(c.num()))
		e.Clock = clock
		e.Wall = clock.Millis() + protowire.DecodeZigZag(c.num())
		c.id(&e.Person)
		e.Seen = nil
		for range c.count(entry.MaxDevices) {
			var id entry.ID
			c.id(&id)
			m := entry.Mark{Log: id.Log, Seq: id.Seq}
			c.brief(&m.Hash)
			e.Seen = append(e.Seen, m)
		}
		e.Body = c.body()
		if c.bad || e.Body == nil {
			return nil, fmt.Errorf("%w: entry %d of a chunk", ErrFold, j)
		}
	}
	return es, nil
}

type foldReader struct {
	b     []byte
	logs  []entry.LogID
	maker *entry.Maker
	r     reader
	bad   bool
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

func (c *foldReader) id(id *entry.ID) {
	n := c.num()
	if n == 0 {
		*id = entry.ID{}
		return
	}
	ok := c.unpack(n, id)
	c.bad = c.bad || !ok
}

func (c *foldReader) brief(h *entry.Brief) {
	if len(c.b) < len(h) {
		c.bad, c.b = true, nil
		return
	}
	c.b = c.b[copy(h[:], c.b):]
}

func (c *foldReader) unpack(n uint64, id *entry.ID) bool {
	i, seq := unpacked(n)
	if i >= len(c.logs) || seq == 0 {
		return false
	}
	id.Log, id.Seq = c.logs[i], seq
	return true
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
	b := c.maker.New(kind)
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
