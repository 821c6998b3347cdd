package logstore

import (
	"bytes"
	"cmp"
	"errors"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/entry"
)

// Report is what Verify found.
type Report struct {
	Entries uint64 // entries that were read
	Faults  []Fault
	Missing []Gap // what was lost when the store was damaged, and has not come back
}

// Fault is one thing that is not as it was written.
type Fault struct {
	Key  string // what is damaged, in words
	What string // how
}

func (f Fault) String() string { return f.Key + ": " + f.What }

// Verify reads the whole store and checks every key and value, every chain and
// every signature, all heads and all settings. It goes on past what it finds
// wrong. Progress, which may be nil, is told how many of how many entries have
// been read. Writing may go on meanwhile; what is written after the start is
// not looked at. The error is for a store that cannot be read at all.
func (s *Store) Verify(progress func(done, total uint64)) (Report, error) {
	return s.verify(nil, progress)
}

// Verify is the store's Verify for one farm.
func (l *Log) Verify(progress func(done, total uint64)) (Report, error) {
	return l.store.verify(&l.farm, progress)
}

func (s *Store) verify(farm *entry.FarmID, progress func(done, total uint64)) (Report, error) {
	e, err := s.reading()
	if err != nil {
		return Report{}, err
	}
	defer s.done()
	snap := e.db.NewSnapshot()
	v := &verifier{db: snap, progress: progress}
	v.run(farm)
	if s.hole != nil {
		v.report.Faults = append(v.report.Faults, Fault{"the store", s.hole.Error()})
	}
	if d, err := readDamage(snap); err == nil && d != nil {
		for _, g := range d.Gaps {
			if farm == nil || g.Farm == *farm {
				v.report.Missing = append(v.report.Missing, g)
			}
		}
	}
	return v.report, snap.Close()
}

// verifier checks a store.
type verifier struct {
	db       pebble.Reader
	progress func(done, total uint64)
	total    uint64
	logs     []logName
	sigs     []signed // to be checked, side by side
	report   Report
}

// logName names one log of a farm.
type logName struct {
	farm entry.FarmID
	log  entry.LogID
}

func compareLogs(a, b logName) int {
	return cmp.Or(bytes.Compare(a.farm[:], b.farm[:]), a.log.Compare(b.log))
}

func (v *verifier) fault(key []byte, what string) {
	v.report.Faults = append(v.report.Faults, Fault{describe(key), what})
}

// failed notes an error of reading at a key.
func (v *verifier) failed(key []byte, err error) {
	if err != nil {
		v.fault(key, err.Error())
	}
}

func (v *verifier) run(farm *entry.FarmID) {
	if farm == nil {
		v.values([]byte{0}, nil)
	} else {
		for _, space := range []byte{spaceBranch, spaceFold, spaceHead, spacePeer} {
			prefix := farmKey(space, *farm)
			v.values(prefix, after(prefix))
		}
	}
	for _, space := range []byte{spaceEntry, spaceSignature, spaceHead, spaceBranch} {
		v.list(space, farm)
	}
	slices.SortFunc(v.logs, compareLogs)
	v.logs = slices.Compact(v.logs)
	for _, n := range v.logs {
		(&logCheck{verifier: v, name: n}).run()
	}
	v.checkSignatures()
	v.tell(true)
}

// tell tells of progress, now and then.
func (v *verifier) tell(now bool) {
	if v.progress != nil && (now || v.report.Entries%1024 == 0) {
		v.progress(v.report.Entries, max(v.total, v.report.Entries))
	}
}

// values checks the keys from low to high, but for those of logs, one by one.
func (v *verifier) values(low, high []byte) {
	it, err := v.db.NewIter(&pebble.IterOptions{LowerBound: low, UpperBound: high})
	if err != nil {
		v.failed(low, err)
		return
	}
	for ok := it.First(); ok; {
		switch it.Key()[0] {
		case spaceEntry, spaceSignature: // the logs' turn comes
			ok = it.SeekGE([]byte{it.Key()[0] + 1})
			continue
		}
		v.value(it.Key(), it.Value())
		ok = it.Next()
	}
	v.failed(low, errors.Join(it.Error(), it.Close()))
}

func (v *verifier) value(key, value []byte) {
	p, err := payload(key, value)
	if err != nil {
		v.failed(key, err)
		return
	}
	switch {
	case key[0] == spaceHead && len(key) == headLen:
		h, err := headAt(entry.FarmID(key[1:farmLen]), key, value)
		v.failed(key, err)
		v.total += h.Seq
	case key[0] == spaceBranch && len(key) == headLen:
		br, err := readBranch(key, value)
		v.failed(key, err)
		if err == nil {
			v.total += br.head.Seq - br.first + 1
		}
	case key[0] == spaceFold && (len(key) == farmLen || len(key) == foldLen):
	case key[0] == spacePeer && len(key) >= farmLen:
		_, _, err = readFrontier(p)
		v.failed(key, err)
	case key[0] == spaceSetting, key[0] == spaceMeta:
	default:
		v.fault(key, "no key of this store")
	}
}

// list notes the logs that have keys in a space.
func (v *verifier) list(space byte, farm *entry.FarmID) {
	low := []byte{space}
	if farm != nil {
		low = farmKey(space, *farm)
	}
	it, err := v.db.NewIter(&pebble.IterOptions{LowerBound: low, UpperBound: after(low)})
	if err != nil {
		v.failed(low, err)
		return
	}
	for ok := it.First(); ok; {
		key := it.Key()
		if len(key) != keyLen(space) {
			v.fault(key, "no key of this store")
			ok = it.Next()
			continue
		}
		v.logs = append(v.logs, logName{entry.FarmID(key[1:farmLen]), entry.LogID(key[farmLen:headLen])})
		next := after(key[:headLen])
		ok = next != nil && it.SeekGE(next)
	}
	v.failed(low, errors.Join(it.Error(), it.Close()))
}

// keyLen is the length of a log's keys in a space.
func keyLen(space byte) int {
	if space == spaceEntry || space == spaceSignature {
		return seqLen
	}
	return headLen
}
