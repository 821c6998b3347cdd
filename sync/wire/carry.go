package wire

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"io"

	"google.golang.org/protobuf/proto"

	turnrowv1 "turnrow/proto/turnrow/v1"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// A carry file is runs on a stick, a card or in a message:
//
//	"turnrow carry 1\n"
//	length (varint), CarryHeader
//	length (varint), Run      as many as there are
//	0, SHA-256 of all before it
//
// The sum tells a torn file from a whole one. It proves nothing else: each run
// is checked as if it came over the wire.
const carryMagic = "turnrow carry 1\n"

// maxFrame is the bytes of one message in a carry file: a run of one entry of
// the largest size fits.
const maxFrame = 2 * exchange.MaxRun

// ErrCarry reports a file that is no carry file, or a torn one.
var ErrCarry = errors.New("wire: not a whole carry file")

// CarryHeader says whose runs a carry file holds.
type CarryHeader struct {
	Farm   entry.FarmID
	Device entry.DeviceID // who carried it out
	Have   chain.Frontier // what that device held then
}

// CarryWriter writes a carry file. Close ends it.
type CarryWriter struct {
	w   *bufio.Writer
	sum hash.Hash
}

// NewCarryWriter begins a carry file.
func NewCarryWriter(w io.Writer, h CarryHeader) (*CarryWriter, error) {
	c := &CarryWriter{w: bufio.NewWriter(w), sum: sha256.New()}
	if err := c.write([]byte(carryMagic)); err != nil {
		return nil, err
	}
	return c, c.frame(&turnrowv1.CarryHeader{Farm: h.Farm[:], Device: h.Device[:], Have: FrontierOut(h.Have)})
}

// Run adds a run.
func (c *CarryWriter) Run(r *entry.Run) error { return c.frame(RunOut(r)) }

// Close ends the file. It does not close what is written to.
func (c *CarryWriter) Close() error {
	if err := c.write([]byte{0}); err != nil {
		return err
	}
	if err := c.write(c.sum.Sum(nil)); err != nil {
		return err
	}
	return c.w.Flush()
}

func (c *CarryWriter) frame(m proto.Message) error {
	b, err := proto.Marshal(m)
	if err != nil {
		return err
	}
	if err := c.write(binary.AppendUvarint(nil, uint64(len(b)))); err != nil {
		return err
	}
	return c.write(b)
}

func (c *CarryWriter) write(b []byte) error {
	c.sum.Write(b)
	_, err := c.w.Write(b)
	return err
}

// CarryReader reads a carry file.
type CarryReader struct {
	r   *bufio.Reader
	sum hash.Hash
}

// NewCarryReader reads the beginning of a carry file. ErrCarry says that it is
// none.
func NewCarryReader(r io.Reader) (*CarryReader, CarryHeader, error) {
	c := &CarryReader{r: bufio.NewReader(r), sum: sha256.New()}
	magic := make([]byte, len(carryMagic))
	if _, err := io.ReadFull(c.r, magic); err != nil || string(magic) != carryMagic {
		return nil, CarryHeader{}, fmt.Errorf("%w: it does not begin as one", ErrCarry)
	}
	c.sum.Write(magic)
	var m turnrowv1.CarryHeader
	if err := c.frame(&m); err != nil {
		return nil, CarryHeader{}, torn(err)
	}
	farm, err1 := Farm(m.GetFarm())
	have, err2 := Frontier(m.GetHave())
	if err := errors.Join(err1, err2, sized("device", m.GetDevice(), 16)); err != nil {
		return nil, CarryHeader{}, fmt.Errorf("%w: %w", ErrCarry, err)
	}
	return c, CarryHeader{farm, entry.DeviceID(m.GetDevice()), have}, nil
}

// Next is the next run, unchecked. It gives io.EOF at the end of a whole file,
// and ErrCarry where the file is torn; the runs before are good by themselves.
func (c *CarryReader) Next() (entry.Run, error) {
	var m turnrowv1.Run
	if err := c.frame(&m); err == io.EOF {
		return entry.Run{}, io.EOF
	} else if err != nil {
		return entry.Run{}, torn(err)
	}
	run, err := Run(&m)
	if err != nil {
		return entry.Run{}, fmt.Errorf("%w: %w", ErrCarry, err)
	}
	return run, nil
}

func torn(err error) error {
	if errors.Is(err, ErrCarry) {
		return err
	}
	return fmt.Errorf("%w: %w", ErrCarry, err)
}

// frame reads the next message; io.EOF is the end of a whole file.
func (c *CarryReader) frame(m proto.Message) error {
	size, err := binary.ReadUvarint(c.r)
	switch {
	case err != nil:
		return io.ErrUnexpectedEOF
	case size == 0:
		return c.end()
	case size > maxFrame:
		return fmt.Errorf("%w: a part of %d bytes, %d at most", ErrCarry, size, maxFrame)
	}
	b := make([]byte, size)
	if _, err := io.ReadFull(c.r, b); err != nil {
		return io.ErrUnexpectedEOF
	}
	c.sum.Write(binary.AppendUvarint(nil, size))
	c.sum.Write(b)
	return proto.Unmarshal(b, m)
}

func (c *CarryReader) end() error {
	c.sum.Write([]byte{0})
	want := c.sum.Sum(nil)
	got := make([]byte, len(want))
	if _, err := io.ReadFull(c.r, got); err != nil {
		return io.ErrUnexpectedEOF
	}
	if !bytes.Equal(got, want) {
		return fmt.Errorf("%w: its sum does not fit", ErrCarry)
	}
	return io.EOF
}
