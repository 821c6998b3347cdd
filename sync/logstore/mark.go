package logstore

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"slices"
	"sync"
	"time"

	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/exchange"
)

// The mark is a file beside the engine's own that says how much was
// acknowledged. The engine reads its log up to the first record that is not
// whole, and cannot tell a write that a crash cut short from damage to one that
// was on disk long ago. The mark can: every batch carries its number, and what
// it names must be there. It is written after the batch is synced and before
// anybody is told, so it never names too much.
//
// It is not synced with each batch, which would double what a note costs, but a
// second later: a process that ends loses nothing of it, and after a power cut
// it names less, by a second at most. What it says of given entries is synced
// before they are given.
//
// A mark is lines of lineLen bytes. Each line has two places, written in turn,
// so that one torn write leaves the other. The first line is the store's, the
// others are of the logs that were recorded to here.
const (
	markFile = "MARK"
	lineLen  = 128

	syncMarkAfter = time.Second
)

var metaCount = nameKey(spaceMeta, "n") // number of the latest batch

// line is one line of the mark.
type line struct {
	serial uint64 // of its writing: the later of two places counts
	count  uint64 // batches acknowledged
	log    logName
	seq    uint64 // the log's last entry that was acknowledged
	// given is the last entry of the log that anybody else may have. Numbers
	// beyond it are free if their entries are lost.
	given uint64
}

// mark is the mark of one opening.
type mark struct {
	file       vfs.File
	generation exchange.Generation
	torn       bool // a place could not be read: given entries may be more than it says

	writing  sync.Mutex // held while the file is written, which on a disk that fails is for ever
	unsynced bool
	closed   bool
	timer    *time.Timer // that syncs it; nil for none

	mu    sync.Mutex // guards what follows, within writing
	lines []line
	count uint64 // the greatest of all lines: it never falls
}

// openMark reads the mark of a store. There is none where the error is
// os.ErrNotExist.
func openMark(fs vfs.FS, dir string) (*mark, error) {
	text, err := readMark(fs, dir)
	if err != nil {
		return nil, err
	}
	f, err := fs.OpenReadWrite(fs.PathJoin(dir, markFile), vfs.WriteCategoryUnspecified)
	if err != nil {
		return nil, err
	}
	m := parseMark(text)
	m.file = f
	return m, nil
}

func readMark(fs vfs.FS, dir string) ([]byte, error) {
	f, err := fs.Open(fs.PathJoin(dir, markFile))
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(f)
	return text, errors.Join(err, f.Close())
}

// parseMark reads lines for as long as there are any. One of which neither
// place is whole is empty, and the mark is torn.
func parseMark(text []byte) *mark {
	m := &mark{torn: len(text)%(2*lineLen) != 0}
	for ; len(text) >= 2*lineLen; text = text[2*lineLen:] {
		var latest line
		for _, place := range [][]byte{text[:lineLen], text[lineLen : 2*lineLen]} {
			l, g, ok := parseLine(place)
			switch {
			case !ok:
				m.torn = true
			case l.serial > latest.serial:
				latest, m.generation = l, g
			}
		}
		m.lines = append(m.lines, latest)
		m.count = max(m.count, latest.count)
	}
	if len(m.lines) == 0 {
		m.lines, m.torn = []line{{}}, true
	}
	return m
}

// parseLine reads a place. One that was never written is empty.
func parseLine(text []byte) (l line, g exchange.Generation, ok bool) {
	if bytes.Equal(text, make([]byte, lineLen)) {
		return l, g, true
	}
	if binary.BigEndian.Uint32(text) != sum([]byte(markFile), text[4:]) {
		return l, g, false
	}
	r := parser{b: text[4:]}
	l.serial, l.count = r.fixed(), r.fixed()
	copy(g[:], r.bytes(len(g)))
	copy(l.log.farm[:], r.bytes(idLen))
	copy(l.log.log[:], r.bytes(idLen))
	l.seq, l.given = r.fixed(), r.fixed()
	return l, g, true
}

func (m *mark) appendLine(l line) []byte {
	b := make([]byte, 4, lineLen)
	b = binary.BigEndian.AppendUint64(b, l.serial)
	b = binary.BigEndian.AppendUint64(b, l.count)
	b = append(b, m.generation[:]...)
	b = append(b, l.log.farm[:]...)
	b = append(b, l.log.log[:]...)
	b = binary.BigEndian.AppendUint64(b, l.seq)
	b = binary.BigEndian.AppendUint64(b, l.given)[:lineLen]
	binary.BigEndian.PutUint32(b, sum([]byte(markFile), b[4:]))
	return b
}

// writeMark makes a store's mark, or makes it anew.
func writeMark(fs vfs.FS, dir string, g exchange.Generation, lines []line) error {
	name := fs.PathJoin(dir, markFile)
	f, err := fs.Create(name+".new", vfs.WriteCategoryUnspecified)
	if err != nil {
		return err
	}
	m := &mark{generation: g}
	var text []byte
	for _, l := range lines {
		l.serial = 2 // which belongs in the first place
		text = append(append(text, m.appendLine(l)...), make([]byte, lineLen)...)
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := fs.Rename(name+".new", name); err != nil {
		return err
	}
	return syncDir(fs, dir)
}

// find is the line of a log, 0 where it has none.
func (m *mark) find(log logName) int {
	for i := range m.lines {
		if m.lines[i].log == log && i > 0 {
			return i
		}
	}
	return 0
}

// change changes a log's line, and writes it; nothing where change says so. The
// caller holds m.writing.
func (m *mark) change(log logName, change func(l *line) bool) error {
	m.mu.Lock()
	i := m.find(log)
	l := &m.lines[i]
	if !change(l) {
		m.mu.Unlock()
		return nil
	}
	l.serial++
	text, at := m.appendLine(*l), int64(2*i+int(l.serial%2))*lineLen
	m.mu.Unlock()
	m.unsynced = true
	_, err := m.file.WriteAt(text, at)
	return err
}

// synced notes a commit that is on disk, before anybody is told.
func (m *mark) synced(c *commit) error {
	m.writing.Lock()
	defer m.writing.Unlock()
	err := m.change(c.log, func(l *line) bool {
		if c.n <= l.count {
			return false // a later one was quicker, and says more
		}
		l.count, l.seq = c.n, max(l.seq, c.seq)
		m.count = max(m.count, c.n)
		return true
	})
	if m.timer == nil && !m.closed {
		m.timer = time.AfterFunc(syncMarkAfter, m.catchUp)
	}
	return err
}

// catchUp syncs the mark a while after it was written.
func (m *mark) catchUp() {
	m.writing.Lock()
	defer m.writing.Unlock()
	if m.timer = nil; !m.closed {
		_ = m.flush() // where that fails, the disk knows
	}
}

// own makes a line for a log that is recorded to, which has come to seq: all
// of that may have been given to others.
func (m *mark) own(log logName, seq uint64) error {
	m.writing.Lock()
	defer m.writing.Unlock()
	m.mu.Lock()
	if m.find(log) > 0 {
		m.mu.Unlock()
		return nil
	}
	i := len(m.lines)
	m.lines = append(m.lines, line{log: log, seq: seq, given: seq})
	m.mu.Unlock()
	if _, err := m.file.WriteAt(make([]byte, 2*lineLen), int64(2*i)*lineLen); err != nil {
		return err
	}
	return errors.Join(m.change(log, func(*line) bool { return true }), m.flush())
}

// give notes that others are given entries of a log, and syncs that.
func (m *mark) give(log logName, seq uint64) error {
	m.writing.Lock()
	defer m.writing.Unlock()
	rose := false
	err := m.change(log, func(l *line) bool {
		if rose = l.log == log && seq > l.given; rose {
			l.given = seq
		}
		return rose
	})
	if rose {
		err = errors.Join(err, m.flush())
	}
	return err
}

// given is how far others may hold a log that is recorded to here.
func (m *mark) given(log logName) uint64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.lines[m.find(log)].given
}

// owned are the lines of logs.
func (m *mark) owned() []line {
	if m == nil {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.DeleteFunc(slices.Clone(m.lines[1:]), func(l line) bool { return l.log == logName{} })
}

// flush syncs the mark. The caller holds m.writing.
func (m *mark) flush() error {
	if !m.unsynced {
		return nil
	}
	m.unsynced = false
	return m.file.Sync()
}

func (m *mark) close() error {
	m.writing.Lock()
	defer m.writing.Unlock()
	m.closed = true
	if m.timer != nil {
		m.timer.Stop()
	}
	return errors.Join(m.flush(), m.file.Close())
}

func (r *parser) fixed() uint64 {
	if b := r.bytes(8); b != nil {
		return binary.BigEndian.Uint64(b)
	}
	return 0
}
