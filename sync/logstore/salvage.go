package logstore

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/sstable"
	"github.com/cockroachdb/pebble/v2/vfs"
)

// salvage is all that can be read of the engine's files, one by one, without
// what the engine keeps about them: of each key the latest value.
type salvage struct {
	rows   map[string]found
	wipes  []wipe
	faults []string // files that could not be read whole
}

// found is a value; nil where it was removed.
type found struct {
	at    uint64 // the engine's number of the write
	value []byte
}

// wipe is a range of keys that was removed.
type wipe struct {
	from, to string
	at       uint64
}

// readFolder reads the engine's files in a folder.
func readFolder(fs vfs.FS, dir string) (*salvage, error) {
	names, err := fs.List(dir)
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	s := &salvage{rows: map[string]found{}}
	for _, name := range names {
		path := fs.PathJoin(dir, name)
		var err error
		switch {
		case strings.HasSuffix(name, ".sst"):
			err = readTable(fs, path, s.set, s.wipe)
		case strings.HasSuffix(name, ".log"):
			err = s.readLog(fs, path, name)
		}
		if err != nil {
			s.faults = append(s.faults, fmt.Sprintf("%s: %v", name, err))
		}
	}
	for key, f := range s.rows {
		if f.value == nil || s.wiped(key, f.at) {
			delete(s.rows, key)
		}
	}
	return s, nil
}

func (s *salvage) set(key []byte, at uint64, value []byte) {
	if f, ok := s.rows[string(key)]; ok && f.at > at || len(key) == 0 || key[0] == spaceFold {
		return
	}
	s.rows[string(key)] = found{at, bytes.Clone(value)}
}

func (s *salvage) wipe(from, to []byte, at uint64) {
	s.wipes = append(s.wipes, wipe{string(from), string(to), at})
}

func (s *salvage) wiped(key string, at uint64) bool {
	return slices.ContainsFunc(s.wipes, func(w wipe) bool { return w.from <= key && key < w.to && at < w.at })
}

// readLog reads a file of the engine's log.
func (s *salvage) readLog(fs vfs.FS, path, name string) error {
	data, err := readFile(fs, path)
	if err != nil {
		return err
	}
	var number uint32
	if _, err := fmt.Sscanf(name, "%d.log", &number); err != nil {
		return err
	}
	scan := scanLog(data, number)
	for _, r := range scan.records {
		if e := s.batch(r); e != nil {
			err = e
		}
	}
	if err == nil && scan.mended == 0 && holed(data, number) {
		err = errors.New("damaged before its end")
	}
	return err
}

// batch reads the writes of a record.
func (s *salvage) batch(record []byte) (err error) {
	defer func() {
		if r := recover(); r != nil { // the engine reads beyond a batch that ends too early
			err = fmt.Errorf("%v", r)
		}
	}()
	var b pebble.Batch
	if err := b.SetRepr(record); err != nil {
		return err
	}
	at := uint64(b.SeqNum())
	for r := b.Reader(); ; {
		kind, key, value, ok, err := r.Next()
		if !ok || err != nil {
			return err
		}
		switch kind {
		case pebble.InternalKeyKindLogData:
			continue
		case pebble.InternalKeyKindSet:
			s.set(key, at, value)
		case pebble.InternalKeyKindDelete:
			s.set(key, at, nil)
		case pebble.InternalKeyKindRangeDelete:
			s.wipe(bytes.Clone(key), bytes.Clone(value), at)
		}
		at++
	}
}

func readFile(fs vfs.FS, path string) ([]byte, error) {
	f, err := fs.Open(path)
	if err != nil {
		return nil, err
	}
	var data bytes.Buffer
	info, err := f.Stat()
	if err == nil {
		data.Grow(int(info.Size()) + bytes.MinRead)
		_, err = data.ReadFrom(f)
	}
	return data.Bytes(), errors.Join(err, f.Close())
}

// readTable reads a table, also beyond a block that is damaged. The error is
// the first that it met.
func readTable(fs vfs.FS, path string, row func(key []byte, at uint64, value []byte), wipe func(from, to []byte, at uint64)) (err error) {
	defer func() {
		if r := recover(); r != nil { // the engine's reader takes some damage for its own mistake
			err = fmt.Errorf("%v", r)
		}
	}()
	f, err := fs.Open(path)
	if err != nil {
		return err
	}
	file, err := sstable.NewSimpleReadable(f)
	if err != nil {
		return errors.Join(err, f.Close())
	}
	o := &pebble.Options{}
	o.EnsureDefaults()
	r, err := sstable.NewReader(context.Background(), file, o.MakeReaderOptions())
	if err != nil {
		return errors.Join(err, file.Close())
	}
	t := table{r: r, row: row}
	err = errors.Join(t.wipes(wipe), t.read())
	_ = r.Close() // which repeats the errors of reading
	return err
}

type table struct {
	r    *sstable.Reader
	row  func(key []byte, at uint64, value []byte)
	last []byte // the last key that was read
}

// read reads all rows, and goes on as soon after a damaged block as it finds a
// key to go on from.
func (t *table) read() error {
	err := t.from(nil)
	if err == nil || len(t.last) != seqLen {
		return err
	}
	seq := seqOf(t.last)
	for step := uint64(1); step < 1<<20; step *= 2 {
		if next := withSeq(bytes.Clone(t.last), seq+step); bytes.Compare(next, t.last) > 0 {
			if t.from(next) == nil {
				return err
			}
		}
	}
	if next := after(t.last[:1]); next != nil {
		_ = t.from(next)
	}
	return err
}

// from reads the rows from a key on.
func (t *table) from(low []byte) error {
	it, err := t.r.NewIter(sstable.NoTransforms, nil, nil, sstable.AssertNoBlobHandles)
	if err != nil {
		return err
	}
	kv := it.First()
	if low != nil {
		kv = it.SeekGE(low, 0)
	}
	for ; kv != nil; kv = it.Next() {
		value, _, err := kv.Value(nil)
		if err != nil {
			return errors.Join(err, it.Close())
		}
		t.last = append(t.last[:0], kv.K.UserKey...)
		switch kv.Kind() {
		case pebble.InternalKeyKindSet, pebble.InternalKeyKindSetWithDelete:
			t.row(kv.K.UserKey, uint64(kv.SeqNum()), append([]byte{}, value...))
		default:
			t.row(kv.K.UserKey, uint64(kv.SeqNum()), nil)
		}
	}
	return errors.Join(it.Error(), it.Close())
}

// wipes reads the ranges that the table removes.
func (t *table) wipes(wipe func(from, to []byte, at uint64)) error {
	if wipe == nil {
		return nil
	}
	it, err := t.r.NewRawRangeDelIter(context.Background(), sstable.NoFragmentTransforms, sstable.NoReadEnv)
	if it == nil || err != nil {
		return err
	}
	defer it.Close()
	span, err := it.First()
	for ; span != nil; span, err = it.Next() {
		for _, k := range span.Keys {
			wipe(bytes.Clone(span.Start), bytes.Clone(span.End), uint64(k.SeqNum()))
		}
	}
	return err
}
