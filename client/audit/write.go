package audit

import (
	"bufio"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"iter"
	"time"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/wire"
)

// Source is the record that a file is written from.
type Source struct {
	Farm entry.FarmID
	Name string
	Made time.Time
	// Runs is every device's log as it was signed, each device's in order.
	Runs iter.Seq2[entry.Run, error]
	// Line is an entry in words; ok is false where it has not taken its place.
	Line func(entry.ID) (l farm.Line, ok bool)
}

// Write writes an audit file. Progress, which may be nil, is told how many
// entries are written. It gives their number.
func Write(w io.Writer, s Source, progress func(done uint64)) (uint64, error) {
	out := &writer{w: bufio.NewWriter(w), sum: sha256.New(), src: &s, progress: progress}
	out.line(header{Version, s.Farm.String(), s.Name, s.Made.UTC().Format(time.RFC3339), how})
	for run, err := range s.Runs {
		if err == nil {
			err = out.run(&run)
		}
		if err != nil {
			return out.entries, err
		}
	}
	out.line(endLine{out.entries, out.sum.Sum(nil)})
	return out.entries, errors.Join(out.err, out.w.Flush())
}

type writer struct {
	w        *bufio.Writer
	sum      hash.Hash
	src      *Source
	head     chain.Head
	entries  uint64
	progress func(uint64)
	err      error
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

func (w *writer) run(r *entry.Run) error {
	if r.Device != w.head.Device && len(r.Entries) > 0 {
		head, err := wire.Start(w.src.Farm, r.Device, r.Entries[0])
		if err != nil {
			return err
		}
		w.head = head
		w.line(deviceLine{r.Device.String(), w.name(r.Device), head.Key[:]})
	}
	for i, raw := range r.Entries {
		if err := w.entry(raw, i == len(r.Entries)-1, r.Sig[:]); err != nil {
			return err
		}
	}
	return w.err
}

// name is what the crew calls a device, by its first entry.
func (w *writer) name(d entry.DeviceID) string {
	l, _ := w.src.Line(entry.ID{Device: d, Seq: 1})
	return l.Device
}

func (w *writer) entry(raw []byte, last bool, sig []byte) error {
	e, err := wire.Decode(&w.head, raw)
	if err != nil {
		return fmt.Errorf("entry %s: %w", entry.ID{Device: w.head.Device, Seq: w.head.Seq + 1}, err)
	}
	l := entryLine{Device: e.Device.String(), Seq: e.Seq, Bytes: raw, Hash: w.head.Hash[:], reading: w.read(&e)}
	if last {
		l.Signature = sig
	}
	w.line(l)
	w.entries++
	if w.progress != nil {
		w.progress(w.entries)
	}
	return w.err
}

func (w *writer) read(e *entry.Entry) reading {
	l, ok := w.src.Line(e.ID)
	if !ok {
		return readingOf(e, nil)
	}
	return readingOf(e, &l)
}

// readingOf is an entry in words: those of its line, where it has one.
func readingOf(e *entry.Entry, l *farm.Line) reading {
	r := reading{Wall: time.UnixMilli(e.Wall).UTC().Format("2006-01-02T15:04:05.000Z"), Kind: e.Body.Kind().String()}
	if l != nil {
		r.Person, r.What = l.By, l.What
	}
	return r
}
