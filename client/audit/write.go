package audit

import (
	"bufio"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"hash"
	"io"
	"iter"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Source is the record that a file is written from.
type Source struct {
	Farm entry.FarmID
	Made time.Time
	// Runs is every device's log as it was signed. A log's runs come in order,
	// and a branch after the log that it leaves, as client.Farm.Runs has it.
	Runs iter.Seq2[entry.Run, error]
}

// Write writes an audit file. Progress, which may be nil, is told how many
// entries of how many are written. It gives their number.
func Write(w io.Writer, s Source, progress func(done, total uint64)) (uint64, error) {
	logs, err := gather(&s)
	if err != nil {
		return 0, err
	}
	state, err := fold(s.Farm, logs)
	if err != nil {
		return 0, err
	}
	out := &writer{w: bufio.NewWriter(w), sum: sha256.New(), state: state, progress: progress}
	for _, t := range logs {
		out.total += uint64(len(t.nodes) - 1)
	}
	out.line(header{Version, s.Farm.String(), state.View().Name, s.Made.UTC().Format(time.RFC3339), how})
	for _, t := range logs {
		out.log(t)
	}
	out.line(endLine{out.entries, out.sum.Sum(nil)})
	return out.entries, errors.Join(out.err, out.w.Flush())
}

// gather puts runs into their devices' logs. A run of a branch may come before
// the one that it goes on from: it is tried again at the end.
func gather(s *Source) (logs []*tree, err error) {
	at := map[entry.DeviceID]*tree{}
	tips := map[entry.DeviceID]map[uint64][]*node{}
	var late []entry.Run
	for r, err := range s.Runs {
		if err != nil {
			return nil, err
		}
		t := at[r.Device]
		if t == nil && r.First == 1 && len(r.Entries) > 0 {
			if t, err = plant(s.Farm, r.Device, r.Entries[0]); err != nil {
				return nil, err
			}
			at[r.Device], tips[r.Device] = t, map[uint64][]*node{0: {t.root}}
			logs = append(logs, t)
		}
		if t == nil || t.take(&r, tips[r.Device]) != nil {
			late = append(late, r)
		}
	}
	for i := range late {
		r := &late[i]
		t := at[r.Device]
		if t == nil {
			return nil, entry.ErrSignature
		}
		if err := t.take(r, tips[r.Device]); err != nil {
			return nil, err
		}
	}
	return logs, nil
}

type writer struct {
	w              *bufio.Writer
	sum            hash.Hash
	state          *farm.State
	entries, total uint64
	progress       func(done, total uint64)
	err            error
}

func (w *writer) line(v any) {
	text, err := json.Marshal(v)
	if err == nil {
		text = append(text, '\n')
		w.sum.Write(text)
		_, err = w.w.Write(text)
	}
	w.err = errors.Join(w.err, err)
}

func (w *writer) log(t *tree) {
	for _, s := range t.stretches() {
		if len(s.entries) == 0 {
			continue
		}
		first, _ := w.state.Line(s.id(s.entries[0]))
		l := deviceLine{Device: t.root.device.String(), Name: first.Device, Key: t.key[:]}
		if s.above != nil {
			l.After, l.AfterHash = s.from.seq, s.from.hash[:]
		}
		w.line(l)
		for _, n := range s.entries {
			w.entry(s, n)
		}
	}
}

func (w *writer) entry(s *stretch, n *node) {
	l := entryLine{Device: n.device.String(), Seq: n.seq, Bytes: n.raw, Hash: n.hash[:]}
	l.reading, _ = read(w.state, s.id(n))
	if n.sig != nil {
		l.Signature = n.sig[:]
	}
	w.line(l)
	w.entries++
	if w.progress != nil {
		w.progress(w.entries, w.total)
	}
}

func wallText(ms int64) string { return time.UnixMilli(ms).UTC().Format("2006-01-02T15:04:05.000Z") }
