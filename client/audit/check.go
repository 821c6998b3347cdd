package audit

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash"
	"io"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// longestLine bounds a line: an entry's bytes twice over in hexadecimal, and
// its words.
const longestLine = 4*entry.MaxRaw + 1<<20

// mostFaults is how many faults are told; what is further wrong is counted.
const mostFaults = 1000

// Report is what Check found.
type Report struct {
	Farm    entry.FarmID
	Name    string
	Made    string
	Devices int
	Entries uint64
	// Faults are what does not fit: a hash, a signature, a missing entry, a
	// reading that the bytes do not bear out. None means that the file is whole.
	Faults []string
	// Words are readings that this version puts in other words than the file
	// does. The bytes stand above both.
	Words []string
	more  int // faults beyond mostFaults
}

// OK says whether nothing was found wrong.
func (r *Report) OK() bool { return len(r.Faults) == 0 }

func (r *Report) fault(format string, args ...any) {
	if len(r.Faults) == mostFaults {
		r.more++
		return
	}
	r.Faults = append(r.Faults, fmt.Sprintf(format, args...))
}

// Check checks an audit file: that it is whole, that every device's entries
// chain and are signed, that every device belongs to the farm by an invite that
// was signed for it, and that what the file says in words is what the bytes
// say. Progress, which may be nil, is told how many entries have been read. It
// gives ErrFile for what is no audit file; a file that is one, and is not in
// order, is a Report with faults.
func Check(file io.Reader, progress func(done uint64)) (Report, error) {
	c := &checker{in: bufio.NewScanner(file), sum: sha256.New(), progress: progress, seen: map[entry.DeviceID]bool{}}
	c.in.Buffer(nil, longestLine)
	if err := c.begin(); err != nil {
		return c.Report, err
	}
	for !c.ended && c.in.Scan() {
		c.number++
		c.line(c.in.Bytes())
	}
	if err := c.in.Err(); err != nil {
		return c.Report, fmt.Errorf("%w: line %d: %w", ErrFile, c.number+1, err)
	}
	c.finish()
	return c.Report, nil
}

// checker goes through a file once.
type checker struct {
	Report
	in       *bufio.Scanner
	sum      hash.Hash
	number   int // of the line
	progress func(uint64)

	head  chain.Head
	named octets // the key that the device's own line names
	seen  map[entry.DeviceID]bool
	run   []read // entries since the last signature
	lost  bool   // the device's chain is broken: what follows cannot be checked
	all   []read // all that are signed for
	ended bool
}

// read is an entry that was read, with what the file says of it in words.
type read struct {
	entry.Entry
	says reading
}

func (c *checker) begin() error {
	var h header
	if !c.in.Scan() {
		return fmt.Errorf("%w: it is empty", ErrFile)
	}
	c.number++
	if json.Unmarshal(c.in.Bytes(), &h) != nil || h.Audit == "" {
		return fmt.Errorf("%w: it does not begin as one", ErrFile)
	}
	if h.Audit != Version {
		return fmt.Errorf("%w: it is of version %q, this is %q", ErrFile, h.Audit, Version)
	}
	var err error
	if c.Farm, err = entry.ParseFarm(h.Farm); err != nil {
		return fmt.Errorf("%w: %w", ErrFile, err)
	}
	c.Name, c.Made = h.Name, h.Made
	c.add(c.in.Bytes())
	return nil
}

func (c *checker) add(line []byte) {
	c.sum.Write(line)
	c.sum.Write([]byte{'\n'})
}

// anyLine is whichever line of the file comes next: what it has tells which.
type anyLine struct {
	entryLine
	Key     octets `json:"key"`
	Entries uint64 `json:"entries"`
	SHA256  octets `json:"sha256"`
}

func (c *checker) line(text []byte) {
	var l anyLine
	if err := json.Unmarshal(text, &l); err != nil {
		c.fault("line %d: %v", c.number, err)
		c.add(text)
		return
	}
	switch {
	case l.SHA256 != nil:
		c.end(l.Entries, l.SHA256)
		return
	case l.Key != nil:
		c.device(l.Device, l.Key)
	default:
		c.entry(&l.entryLine)
	}
	c.add(text)
}

func (c *checker) end(entries uint64, sum octets) {
	c.ended = true
	if !bytes.Equal(c.sum.Sum(nil), sum) {
		c.fault("the file's own sum does not fit: a line was changed, added or lost")
	}
	if entries != c.Entries {
		c.fault("the file says that it holds %d entries, and holds %d", entries, c.Entries)
	}
}

func (c *checker) device(id string, key octets) {
	c.unsigned()
	d, err := entry.ParseDevice(id)
	switch {
	case err != nil:
		c.fault("line %d: %v", c.number, err)
	case c.seen[d]:
		c.fault("line %d: device %s stands twice", c.number, d)
	}
	c.Devices++
	c.seen[d] = true
	c.head, c.named, c.lost = chain.Head{Device: d}, bytes.Clone(key), err != nil
}

func (c *checker) entry(l *entryLine) {
	c.Entries++
	if c.progress != nil {
		c.progress(c.Entries)
	}
	if c.lost {
		return
	}
	if err := c.follow(l); err != nil {
		c.fault("line %d, entry %d of %s: %v", c.number, l.Seq, l.Device, err)
		c.lost, c.run = true, nil
	}
}

// follow takes the next entry of a device's log.
func (c *checker) follow(l *entryLine) error {
	if l.Device != c.head.Device.String() || l.Seq != c.head.Seq+1 {
		return fmt.Errorf("it does not follow on entry %d of %s: one is missing, or out of place", c.head.Seq, c.head.Device)
	}
	if len(l.Bytes) > entry.MaxRaw {
		return chain.ErrSize
	}
	if l.Seq == 1 {
		head, err := wire.Start(c.Farm, c.head.Device, l.Bytes)
		if err != nil {
			return err
		}
		if !bytes.Equal(head.Key[:], c.named) {
			return fmt.Errorf("the key on its device's line is not the one that its bytes name")
		}
		c.head = head
	}
	e, err := wire.Decode(&c.head, l.Bytes)
	if err != nil {
		return err
	}
	if !bytes.Equal(c.head.Hash[:], l.Hash) {
		return fmt.Errorf("its hash does not follow from its bytes and the hash before")
	}
	c.run = append(c.run, read{e, l.reading})
	return c.sign(l.Signature)
}

// sign checks a signature, which vouches for all entries since the last one.
func (c *checker) sign(sig octets) error {
	if sig == nil {
		return nil
	}
	if len(sig) != len(entry.Signature{}) {
		return fmt.Errorf("a signature of %d bytes, not %d", len(sig), len(entry.Signature{}))
	}
	if err := entry.Verify(c.head.Key, c.head.Hash, entry.Signature(sig)); err != nil {
		return err
	}
	c.all = append(c.all, c.run...)
	c.run = nil
	return nil
}

// unsigned ends a device's lines.
func (c *checker) unsigned() {
	if n := len(c.run); n > 0 {
		c.fault("the last %d entries of device %s are not signed", n, c.head.Device)
	}
	c.run = nil
}

func (c *checker) finish() {
	c.unsigned()
	if !c.ended {
		c.fault("the file ends before its last line: it is torn")
	}
	if c.Entries == 0 {
		c.fault("the file holds no entry")
	}
	state := farm.New(c.Farm)
	for i := range c.all {
		state.Apply(c.all[i].Entry)
	}
	c.belong(state)
	for i := range c.all {
		c.compare(state, &c.all[i])
	}
	if c.more > 0 {
		c.Faults = append(c.Faults, fmt.Sprintf("and %d more", c.more))
	}
}

// belong finds devices that no invite brought into the farm, and entries that
// refer to others which are not in the file.
func (c *checker) belong(state *farm.State) {
	v := state.View()
	if v.Name != c.Name {
		c.fault("the file is said to be of %q, and its entries are of %q", c.Name, v.Name)
	}
	for _, d := range v.Devices {
		if !d.Joined && c.seen[d.ID] {
			c.fault("device %s (%s) does not belong to the farm: no invite that counts was signed for it", d.ID, d.Name)
		}
	}
	if v.Waiting > 0 {
		c.fault("%d entries build on others that are not in the file: it is not the whole record", v.Waiting)
	}
}

// compare holds what the file says of an entry against what its bytes say.
func (c *checker) compare(state *farm.State, r *read) {
	var is reading
	if l, ok := state.Line(r.ID); ok {
		is = readingOf(&r.Entry, &l)
	} else {
		is = readingOf(&r.Entry, nil)
	}
	if is.Wall != r.says.Wall || is.Kind != r.says.Kind || is.Person != r.says.Person {
		c.fault("entry %s: the file says %s, %s, %s; its bytes say %s, %s, %s", r.ID,
			r.says.Wall, r.says.Person, r.says.Kind, is.Wall, is.Person, is.Kind)
	}
	if is.What != r.says.What && len(c.Words) < mostFaults {
		c.Words = append(c.Words, fmt.Sprintf("entry %s: the file says %q; this version reads %q", r.ID, r.says.What, is.What))
	}
}
