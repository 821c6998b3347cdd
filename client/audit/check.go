package audit

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
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
	c := &checker{in: bufio.NewScanner(file), sum: sha256.New(), progress: progress, at: map[entry.DeviceID]*tree{}}
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

	logs  []*tree
	at    map[entry.DeviceID]*tree
	log   *tree          // of the lines being read; nil before its first entry
	last  *node          // of the log's entries, in the stretch being read
	of    entry.DeviceID // whose lines are being read
	key   octets         // that the device's line names
	lost  bool           // the chain is broken: what follows cannot be checked
	ended bool
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
	Key       octets `json:"key"`
	After     uint64 `json:"after"`
	AfterHash octets `json:"after_hash"`
	Entries   uint64 `json:"entries"`
	SHA256    octets `json:"sha256"`
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
		c.device(&l)
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

// device begins the lines of a device's log, or of a branch of one.
func (c *checker) device(l *anyLine) {
	d, err := entry.ParseDevice(l.Device)
	c.of, c.key, c.log, c.last, c.lost = d, bytes.Clone(l.Key), nil, nil, err != nil
	t := c.at[d]
	switch {
	case err != nil:
		c.fault("line %d: %v", c.number, err)
	case l.AfterHash != nil:
		c.branch(t, l)
	case t != nil:
		c.fault("line %d: device %s stands twice", c.number, d)
		c.lost = true
	default:
		c.Devices++
	}
}

// branch goes on from an entry of a log that was read before.
func (c *checker) branch(t *tree, l *anyLine) {
	if t != nil && len(l.AfterHash) == len(entry.Hash{}) {
		if n := t.nodes[entry.Hash(l.AfterHash)]; n != nil && n.seq == l.After {
			c.log, c.last = t, n
			return
		}
	}
	c.fault("line %d: a branch of device %s goes on from an entry that is not in the file", c.number, c.of)
	c.lost = true
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
		c.lost = true
	}
}

// follow takes the next entry of a device's log.
func (c *checker) follow(l *entryLine) error {
	seq := uint64(0)
	if c.last != nil {
		seq = c.last.seq
	}
	switch {
	case l.Device != c.of.String() || l.Seq != seq+1:
		return fmt.Errorf("it does not follow on entry %d of %s: one is missing, or out of place", seq, c.of)
	case len(l.Bytes) > entry.MaxRaw:
		return chain.ErrSize
	}
	if c.log == nil {
		if err := c.plant(l.Bytes); err != nil {
			return err
		}
	}
	known := len(c.log.nodes)
	n := c.log.grow(c.last, l.Bytes)
	if len(c.log.nodes) == known {
		return fmt.Errorf("it stands twice in the file")
	}
	c.last, n.says = n, l.reading
	if !bytes.Equal(n.hash[:], l.Hash) {
		return fmt.Errorf("its hash does not follow from its bytes and the hash before")
	}
	return c.sign(n, l.Signature)
}

// plant begins a log with its first entry, which names the device's key.
func (c *checker) plant(first []byte) error {
	t, err := plant(c.Farm, c.of, first)
	if err != nil {
		return err
	}
	if !bytes.Equal(t.key[:], c.key) {
		return fmt.Errorf("the key on its device's line is not the one that its bytes name")
	}
	c.log, c.last, c.at[c.of] = t, t.root, t
	c.logs = append(c.logs, t)
	return nil
}

func (c *checker) sign(n *node, sig octets) error {
	if sig == nil {
		return nil
	}
	if len(sig) != len(entry.Signature{}) {
		return fmt.Errorf("a signature of %d bytes, not %d", len(sig), len(entry.Signature{}))
	}
	return c.log.sign(n, entry.Signature(sig))
}

func (c *checker) finish() {
	if !c.ended {
		c.fault("the file ends before its last line: it is torn")
	}
	if c.Entries == 0 {
		c.fault("the file holds no entry")
	}
	for _, t := range c.logs {
		for _, end := range t.ends() {
			c.prune(end)
		}
	}
	state, err := fold(c.Farm, c.logs)
	if err != nil {
		c.fault("%v", err)
		state = farm.New(c.Farm)
	}
	c.belong(state)
	for _, t := range c.logs {
		for _, s := range t.stretches() {
			for _, n := range s.entries {
				c.compare(state, s.id(n), n)
			}
		}
	}
	if c.more > 0 {
		c.Faults = append(c.Faults, fmt.Sprintf("and %d more", c.more))
	}
}

// prune takes off the end of a log what no signature vouches for.
func (c *checker) prune(end *node) {
	n := end
	for n.seq > 0 && n.sig == nil && len(n.after) < 2 {
		n.before.after = slices.DeleteFunc(n.before.after, func(o *node) bool { return o == n })
		n = n.before
	}
	if n != end {
		c.fault("the last %d entries of device %s are not signed", end.seq-n.seq, end.device)
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
		if !d.Joined && c.at[d.ID] != nil {
			c.fault("device %s (%s) does not belong to the farm: no invite that counts was signed for it", d.ID, d.Name)
		}
	}
	if v.Waiting > 0 {
		c.fault("%d entries build on others that are not in the file: it is not the whole record", v.Waiting)
	}
}

// compare holds what the file says of an entry against what its bytes say.
func (c *checker) compare(state *farm.State, id entry.ID, n *node) {
	is, ok := read(state, id)
	if !ok {
		return // it waits for others: that was said
	}
	if is.Wall != n.says.Wall || is.Kind != n.says.Kind || is.Person != n.says.Person {
		c.fault("entry %s: the file says %s, %s, %s; its bytes say %s, %s, %s", id,
			n.says.Wall, n.says.Person, n.says.Kind, is.Wall, is.Person, is.Kind)
	}
	if is.What != n.says.What && len(c.Words) < mostFaults {
		c.Words = append(c.Words, fmt.Sprintf("entry %s: the file says %q; this version reads %q", id, n.says.What, is.What))
	}
}
