package logstore

import (
	"encoding/binary"
	"fmt"

	"github.com/cockroachdb/pebble/v2/vfs"
)

// LogRecords is what is read of a file of the engine's log.
func LogRecords(data []byte, log uint32) [][]byte { return scanLog(data, log).records }

// Salvage reads bytes as a file of the engine's log, and gives the number of
// keys that were found.
func Salvage(data []byte, log uint32) (int, error) {
	fs := vfs.NewMem()
	name := fmt.Sprintf("%06d.log", log)
	f, err := fs.Create(name, vfs.WriteCategoryUnspecified)
	if err != nil {
		return 0, err
	}
	if _, err := f.Write(data); err != nil {
		return 0, err
	}
	if err := f.Close(); err != nil {
		return 0, err
	}
	s, err := readFolder(fs, "")
	if err != nil {
		return 0, err
	}
	return len(s.rows), nil
}

// InLine is the calls to record that wait for the one that writes.
func (l *Log) InLine() int {
	l.line.Lock()
	defer l.line.Unlock()
	return len(l.requests)
}

// Logged is the bytes that the engine has written to its log.
func (s *Store) Logged() uint64 { return s.eng.db.Metrics().WAL.BytesWritten }

// SumMark gives each line of a mark the checksum that it should have.
func SumMark(text []byte) {
	for ; len(text) >= lineLen; text = text[lineLen:] {
		binary.BigEndian.PutUint32(text, sum([]byte(markFile), text[4:lineLen]))
	}
}

// MarkOut is a mark as it is written after it was read.
func MarkOut(text []byte) (out []byte) {
	m := parseMark(text)
	for _, l := range m.lines {
		for range 2 {
			out = append(out, m.appendLine(l)...)
		}
	}
	return out
}
