package logstore

import (
	"cmp"
	"crypto/rand"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/cockroachdb/pebble/v2"
	"github.com/cockroachdb/pebble/v2/vfs"

	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// A damaged store is built anew from what can be read of it. The engine's files
// are moved to a folder beside, where they stay, and every log is taken in from
// there as from a stranger: as far as its signatures prove it.
const (
	rebuildFile = "REBUILD" // there while a store is built anew: how far that is, and the folder
	damagedDir  = "damaged-"
	moving      = "moving"  // files are still on their way into the folder
	filling     = "filling" // all are there
)

var metaDamage = nameKey(spaceMeta, "damage")

// Damage is what became of a store that was found damaged.
type Damage struct {
	Why    string              // what was found
	Folder string              // where the damaged files are
	Whole  bool                // nothing of the record is missing
	Writes uint64              // acknowledged writes that are missing, as far as that is known
	Gaps   []Gap               // logs that have lost their ends
	Before exchange.Generation // of the store until then
	// Unproved says that how far others may hold the logs recorded here is not
	// known: nothing is recorded until Settle.
	Unproved bool
}

// Gap is the end of a log that was lost.
type Gap struct {
	Farm   entry.FarmID
	Device entry.DeviceID
	Held   uint64 // the last entry that is here
	Had    uint64 // the last entry that was here
}

// Damage is what became of the store when it was last found damaged, with the
// gaps that are still there; nil where it was never found so, or Settle was
// called since.
func (s *Store) Damage() (*Damage, error) {
	e, err := s.reading()
	if err != nil {
		return nil, err
	}
	defer s.done()
	return readDamage(e.db)
}

func readDamage(db pebble.Reader) (*Damage, error) {
	v, err := get(db, metaDamage)
	if v == nil || err != nil {
		return nil, err
	}
	d := &Damage{}
	if err := json.Unmarshal(v, d); err != nil {
		return nil, damaged(metaDamage, err.Error())
	}
	open := d.Gaps[:0]
	for _, g := range d.Gaps {
		h, err := headOf(db, logName{g.Farm, g.Device.Log()})
		if err != nil {
			return nil, err
		}
		if g.Held = h.Seq; g.Held < g.Had {
			open = append(open, g)
		}
	}
	d.Gaps = open
	return d, nil
}

// Settle forgets that the store was damaged, once what it lacks has come back or
// nobody has it.
func (s *Store) Settle() error {
	e, err := s.writing()
	if err != nil {
		return err
	}
	defer s.done()
	b := e.db.NewBatch()
	if err := errors.Join(b.Delete(metaDamage, nil), e.write(b)); err != nil {
		return err
	}
	e.unproved.Store(false)
	return nil
}

// Condemn has the store built anew when it is opened next: what was found
// damaged in it only shows when it is read.
func (s *Store) Condemn() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return ErrClosed
	}
	name, err := s.freeFolder()
	if err != nil {
		return err
	}
	return writeWhole(s.fs, s.dir, rebuildFile, []byte(moving+" "+name+"\n"))
}

// ownFile says whether a file of the store's folder is not the engine's.
func ownFile(name string) bool {
	return name == lockFile || name == schemaFile || name == markFile || name == rebuildFile ||
		strings.HasSuffix(name, ".new") || strings.HasPrefix(name, damagedDir)
}

func (s *Store) freeFolder() (string, error) {
	names, err := s.fs.List(s.dir)
	if err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		if name := fmt.Sprint(damagedDir, n); !slices.Contains(names, name) {
			return name, nil
		}
	}
}

// rebuilding is how far building anew has come; an empty folder where nothing is.
func (s *Store) rebuilding() (phase, folder string, err error) {
	text, err := readFile(s.fs, s.fs.PathJoin(s.dir, rebuildFile))
	if errors.Is(err, os.ErrNotExist) {
		return "", "", nil
	}
	if err != nil {
		return "", "", err
	}
	if _, err := fmt.Sscanf(string(text), "%s %s", &phase, &folder); err != nil || phase != moving && phase != filling || !strings.HasPrefix(folder, damagedDir) {
		folder, err = s.freeFolder()
		return moving, folder, err // it does not matter what else it said
	}
	return phase, folder, nil
}

// rebuild builds a damaged store anew, from where that was broken off.
func (s *Store) rebuild(phase, folder string, why error) (*engine, error) {
	if err := s.roomTwice(); err != nil {
		return nil, err
	}
	s.log.Error("store: damaged, is built anew", "dir", s.dir, "err", why)
	if phase == moving {
		if err := s.moveAside(folder); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrDisk, err)
		}
	}
	names, err := s.fs.List(s.dir)
	for _, name := range names {
		if !ownFile(name) { // of an earlier attempt
			err = errors.Join(err, s.fs.RemoveAll(s.fs.PathJoin(s.dir, name)))
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDisk, err)
	}
	e, err := s.refill(folder, why)
	if err != nil {
		return nil, err
	}
	if err := s.fs.Remove(s.fs.PathJoin(s.dir, rebuildFile)); err != nil {
		return nil, errors.Join(fmt.Errorf("%w: %w", ErrDisk, err), e.close())
	}
	return e, nil
}

// roomTwice says whether there is room for a second copy of what is there.
func (s *Store) roomTwice() error {
	use, err := s.fs.GetDiskUsage(s.dir)
	if err != nil || s.reserve == 0 {
		return nil
	}
	need := s.reserve
	names, _ := s.fs.List(s.dir)
	for _, name := range names {
		if st, err := s.fs.Stat(s.fs.PathJoin(s.dir, name)); err == nil && !ownFile(name) {
			need += uint64(st.Size())
		}
	}
	if use.AvailBytes < need {
		return fmt.Errorf("%w: the store is damaged, and to put it in order takes %d MiB of room: %d MiB are free", ErrDisk, need>>20, use.AvailBytes>>20)
	}
	return nil
}

// moveAside moves the engine's files into a folder.
func (s *Store) moveAside(folder string) error {
	to := s.fs.PathJoin(s.dir, folder)
	if err := s.fs.MkdirAll(to, 0o700); err != nil {
		return err
	}
	if err := writeWhole(s.fs, s.dir, rebuildFile, []byte(moving+" "+folder+"\n")); err != nil {
		return err
	}
	names, err := s.fs.List(s.dir)
	if err != nil {
		return err
	}
	for _, name := range names {
		if !ownFile(name) {
			err = errors.Join(err, s.fs.Rename(s.fs.PathJoin(s.dir, name), s.fs.PathJoin(to, name)))
		}
	}
	if err = errors.Join(err, syncDir(s.fs, to), syncDir(s.fs, s.dir)); err != nil {
		return err
	}
	return writeWhole(s.fs, s.dir, rebuildFile, []byte(filling+" "+folder+"\n"))
}

// refill fills a new database with what can be read of the damaged one.
func (s *Store) refill(folder string, why error) (*engine, error) {
	saved, err := readFolder(s.fs, s.fs.PathJoin(s.dir, folder))
	if err != nil {
		return nil, err
	}
	e, err := open(s.fs, s.dir, s.cache, s.log, false)
	if err != nil {
		return nil, err
	}
	e.disk.release()
	if err := s.fill(e, saved, &Damage{Why: why.Error(), Folder: folder}); err != nil {
		return nil, errors.Join(err, e.close())
	}
	return e, nil
}

func (s *Store) fill(e *engine, saved *salvage, d *Damage) error {
	text, err := readMark(s.fs, s.dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	old, count := parseMark(text), saved.number(metaCount)
	e.count = max(old.count, count)
	if err := forward(e, s.steps); err != nil {
		return err
	}
	if err := s.refillLogs(e, saved, d); err != nil {
		return err
	}
	g, ok := saved.value(metaGeneration)
	if ok && len(g) == len(d.Before) {
		d.Before = exchange.Generation(g)
	} else {
		d.Before, ok = old.generation, false
	}
	for _, f := range saved.faults {
		d.Why += "; " + f
	}
	d.Writes = max(old.count, count) - count
	d.Whole = ok && d.Writes == 0 && len(d.Gaps) == 0 && len(saved.faults) == 0
	d.Unproved = !d.Whole && old.torn
	return s.restart(e, saved, d, old)
}

// restart gives a refilled database its own rows, and its mark.
func (s *Store) restart(e *engine, saved *salvage, d *Damage, old *mark) error {
	g := d.Before
	if !d.Whole {
		if _, err := rand.Read(g[:]); err != nil { // others must not count on what was here before
			return err
		}
	}
	text, err := json.Marshal(d)
	if err != nil {
		return err
	}
	b := e.db.NewBatch()
	errs := []error{put(b, metaGeneration, g[:]), put(b, metaDamage, text)}
	for key := range saved.rows {
		v, ok := saved.value([]byte(key))
		if ok && (key[0] == spaceSetting || key[0] == spacePeer || key == string(metaCopied)) {
			errs = append(errs, put(b, []byte(key), v))
		}
	}
	if err := errors.Join(append(errs, e.write(b), e.try(e.db.Flush))...); err != nil {
		return err
	}
	if err := writeNewMark(e, old.owned()); err != nil {
		return err
	}
	m, err := s.prove(e)
	if err != nil {
		return err
	}
	return s.marked(e, m)
}

// value is a value as it was put; not ok where it is not there or damaged.
func (s *salvage) value(key []byte) ([]byte, bool) {
	f, ok := s.rows[string(key)]
	if !ok {
		return nil, false
	}
	p, err := payload(key, f.value)
	return p, err == nil
}

func (s *salvage) number(key []byte) uint64 {
	if v, ok := s.value(key); ok && len(v) == 8 {
		return binary.BigEndian.Uint64(v)
	}
	return 0
}

// refillLogs takes in every log and branch, and notes which have lost their
// ends.
func (s *Store) refillLogs(e *engine, saved *salvage, d *Damage) error {
	logs, branches := saved.logs()
	farms := map[entry.FarmID]*Log{}
	of := func(id entry.FarmID) *Log {
		if farms[id] == nil {
			farms[id] = &Log{store: s, farm: id, next: &state{}}
			farms[id].durable.Store(&state{})
		}
		return farms[id]
	}
	for _, n := range logs {
		if err := of(n.farm).refill(e, saved, n, n.log.Device(), 1); err != nil {
			return err
		}
	}
	for _, br := range branches {
		n := logName{br.head.Farm, br.head.Log}
		if err := of(n.farm).refill(e, saved, n, br.device, br.first); err != nil {
			return err
		}
	}
	for _, n := range logs {
		var held uint64
		if h := of(n.farm).durable.Load().head(n.log); h != nil {
			held = h.Seq
		}
		if had := saved.had(n); held < had {
			d.Gaps = append(d.Gaps, Gap{n.farm, n.log.Device(), held, had})
		}
	}
	return nil
}

// logs are the logs and the branches of which anything is there.
func (s *salvage) logs() (logs []logName, branches []*branch) {
	asides := map[logName]bool{}
	for key := range s.rows {
		if key[0] == spaceBranch && len(key) == headLen {
			if v := s.rows[key].value; v != nil {
				if br, err := readBranch([]byte(key), v); err == nil {
					branches = append(branches, br)
					asides[logName{br.head.Farm, br.head.Log}] = true
				}
			}
		}
	}
	seen := map[logName]bool{}
	for key := range s.rows {
		if (key[0] == spaceEntry || key[0] == spaceHead) && len(key) == keyLen(key[0]) {
			n := logName{entry.FarmID([]byte(key[1:farmLen])), entry.LogID([]byte(key[farmLen:headLen]))}
			if !seen[n] && !asides[n] {
				logs = append(logs, n)
			}
			seen[n] = true
		}
	}
	slices.SortFunc(logs, compareLogs)
	slices.SortFunc(branches, func(a, b *branch) int { // what a branch parts from comes before it
		return cmp.Or(cmp.Compare(a.first, b.first), a.head.Log.Compare(b.head.Log))
	})
	return logs, branches
}

// had is how far a log is known to have gone.
func (s *salvage) had(n logName) uint64 {
	if v, ok := s.value(logKey(spaceHead, n.farm, n.log)); ok {
		if h, _, err := readHead(n.farm, n.log, v); err == nil {
			return h.Seq
		}
	}
	return 0
}

// refill takes in a log, kept under a name, from an entry on: as far as it goes
// without a gap and is signed.
func (l *Log) refill(e *engine, saved *salvage, kept logName, device entry.DeviceID, first uint64) error {
	var runs []entry.Run
	var raws [][]byte
	from, size := first, 0
	take := func() error {
		p, g, err := l.take(e, runs)
		if err == nil && g != nil {
			err = l.settle(e, g)
		}
		_ = p // what is refused is not proved, and neither is what comes after it
		runs, size = nil, 0
		return err
	}
	for seq := first; ; seq++ {
		raw, ok := saved.value(seqKey(spaceEntry, kept.farm, kept.log, seq))
		if !ok {
			break
		}
		raws = append(raws, raw)
		size += len(raw)
		key := seqKey(spaceSignature, kept.farm, kept.log, seq)
		end, err := readEnd(key, saved.rows[string(key)].value)
		if err != nil {
			continue
		}
		runs = append(runs, entry.Run{Device: device, First: from, Entries: raws, Sig: end.sig})
		raws, from = nil, seq+1
		if size >= exchange.UsualBatch {
			if err := take(); err != nil {
				return err
			}
		}
	}
	return take()
}

// writeWhole puts a file in place, whole or not at all.
func writeWhole(fs vfs.FS, dir, name string, text []byte) error {
	path := fs.PathJoin(dir, name)
	f, err := fs.Create(path+".new", vfs.WriteCategoryUnspecified)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := fs.Rename(path+".new", path); err != nil {
		return err
	}
	return syncDir(fs, dir)
}
