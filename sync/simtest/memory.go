package simtest

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// The errors of a log in memory.
var (
	ErrKey    = errors.New("simtest: not the device's key")
	ErrUnseen = errors.New("simtest: seen, but not stored")
	ErrForked = errors.New("simtest: device's log is forked")
)

// Memory is one farm's record in memory: the second body of a log, plain where
// the store is fast. It loses nothing but with the program.
type Memory struct {
	farm entry.FarmID

	telling sync.Mutex // taken before mu: entries are told of one after another, in the order in which they were kept
	mu      sync.Mutex
	logs    []*strip // by device
	asides  []*aside // other branches of forked logs
	named   func(entry.DeviceID) (held, wanted []entry.Mark)
	wanted  map[entry.DeviceID][]entry.Mark // during Take: of which logs many branches are kept
	tell    func([]entry.Entry)
	fold    *saved
	peers   map[string]chain.Frontier
}

// aside is a branch of a forked log that is not the one kept as the device's.
type aside struct {
	strip         // its raws and hashes are from first on; it has no entries
	first  uint64 // the number from which the branches differ
	name   entry.LogID
	on     entry.LogID // what it parts from: the device's own, or another branch
	beside entry.LogID // the name of that from there on
}

// saved is a saved fold.
type saved struct {
	heads []chain.Head
	fold  []byte
}

// strip is one device's log.
type strip struct {
	head    chain.Head
	entries []entry.Entry
	raws    [][]byte
	hashes  []entry.Hash // after each entry
	sigs    map[uint64]entry.Signature
}

// NewMemory is an empty record of a farm.
func NewMemory(farm entry.FarmID) *Memory { return &Memory{farm: farm} }

// Clone is a record that goes on by itself from here.
func (m *Memory) Clone() *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	c := &Memory{farm: m.farm}
	for _, a := range m.asides {
		c.asides = append(c.asides, &aside{*a.strip.clone(), a.first, a.name, a.on, a.beside})
	}
	for _, s := range m.logs {
		c.logs = append(c.logs, s.clone())
	}
	return c
}

func (s *strip) clone() *strip {
	c := &strip{
		head: s.head.Clone(), entries: slices.Clone(s.entries), raws: slices.Clone(s.raws),
		hashes: slices.Clone(s.hashes), sigs: map[uint64]entry.Signature{},
	}
	for seq, sig := range s.sigs {
		c.sigs[seq] = sig
	}
	return c
}

func (m *Memory) find(log entry.LogID) (int, bool) {
	return slices.BinarySearchFunc(m.logs, log, func(s *strip, log entry.LogID) int { return s.head.Log.Compare(log) })
}

func (m *Memory) strip(log entry.LogID) *strip {
	if i, ok := m.find(log); ok {
		return m.logs[i]
	}
	return nil
}

// keep puts a log in its place.
func (m *Memory) keep(s *strip) {
	if i, ok := m.find(s.head.Log); ok {
		m.logs[i] = s
	} else {
		m.logs = slices.Insert(m.logs, i, s)
	}
}

// SaveFold keeps a fold of the record, with the heads up to which entries went
// into it.
func (m *Memory) SaveFold(f chain.Frontier, heads []chain.Head, fold []byte) error {
	if !chain.Reached(heads).Covers(f) {
		return errors.New("simtest: a fold that took effect further than its entries go")
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.fold = &saved{slices.Clone(heads), slices.Clone(fold)}
	return nil
}

// Fold is what SaveFold kept, where it stands for entries that are held.
func (m *Memory) Fold() ([]chain.Head, io.ReadCloser, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fold == nil {
		return nil, nil, nil
	}
	for _, h := range m.fold.heads {
		s := m.strip(h.Log)
		if s == nil || h.Seq == 0 || h.Seq > s.head.Seq || s.hashes[h.Seq-1] != h.Hash {
			return nil, nil, nil
		}
	}
	return m.fold.heads, io.NopCloser(bytes.NewReader(m.fold.fold)), nil
}

// SetPeer keeps how far a peer is known to hold the record.
func (m *Memory) SetPeer(name string, f chain.Frontier) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.peers == nil {
		m.peers = map[string]chain.Frontier{}
	}
	m.peers[name] = slices.Clone(f)
	return nil
}

// Peer is what SetPeer kept.
func (m *Memory) Peer(name string) (chain.Frontier, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.peers[name], nil
}

// Frontier is how far each device's log is held.
func (m *Memory) Frontier() chain.Frontier {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.frontier()
}

func (m *Memory) frontier() chain.Frontier {
	f := make(chain.Frontier, len(m.logs))
	for i, s := range m.logs {
		f[i] = s.head.Mark()
	}
	return f
}

// Head is where a device's log stands.
func (m *Memory) Head(d entry.DeviceID) (chain.Head, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if s := m.strip(d.Log()); s != nil {
		return s.head.Clone(), true
	}
	return chain.Head{}, false
}

// Heads are the heads of all devices.
func (m *Memory) Heads() []chain.Head {
	m.mu.Lock()
	defer m.mu.Unlock()
	hs := make([]chain.Head, len(m.logs))
	for i, s := range m.logs {
		hs[i] = s.head.Clone()
	}
	return hs
}

// OnStored has fn told of new entries.
func (m *Memory) OnStored(fn func([]entry.Entry)) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.tell = fn
}

// Each gives all entries beyond some heads: each log in its order, and several by
// their clocks.
func (m *Memory) Each(from []chain.Head, fn func(entry.Entry) error) error {
	m.mu.Lock()
	var logs [][]entry.Entry
	for _, s := range m.logs {
		skip := 0
		for i := range from {
			if from[i].Log == s.head.Log {
				skip = int(from[i].Seq)
			}
		}
		logs = append(logs, s.entries[min(skip, len(s.entries)):])
	}
	m.mu.Unlock()
	for _, e := range merged(logs) {
		if err := fn(e); err != nil {
			return err
		}
	}
	return nil
}

// lane is what a name can stand for: a device's log, or a branch of one from
// where it parts.
type lane struct {
	*strip
	first uint64 // its first entry
	base  uint64 // the entry before the strip's first
}

func (m *Memory) lane(name entry.LogID) (lane, bool) {
	if s := m.strip(name); s != nil {
		return lane{s, 1, 0}, true
	}
	for _, a := range m.asides {
		switch name {
		case a.name:
			return lane{&a.strip, a.first, a.first - 1}, true
		case a.beside:
			l, ok := m.lane(a.on)
			l.first = a.first
			return l, ok
		}
	}
	return lane{}, false
}

// on says whether a mark lies on the lane.
func (l lane) on(m chain.Mark) bool {
	return m.Seq > l.base && m.Seq <= l.head.Seq && [8]byte(l.hashes[m.Seq-l.base-1][:8]) == m.Hash
}

// Runs reads a device's log, or a branch, from a number on, cut where
// signatures are held.
func (m *Memory) Runs(name entry.LogID, from uint64, maxBytes int) ([]entry.Run, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.lane(name)
	if !ok {
		return nil, false, nil
	}
	var runs []entry.Run
	for next := max(from, l.first); next <= l.head.Seq; {
		run := l.cut(next, min(exchange.MaxRun, maxBytes))
		if maxBytes -= run.Size(); maxBytes < 0 && len(runs) > 0 {
			return runs, true, nil
		}
		runs = append(runs, run)
		next = run.Last() + 1
	}
	return runs, false, nil
}

// cut is the run from a number on: to the last signature within most bytes, or
// the first one beyond.
func (l lane) cut(from uint64, most int) entry.Run {
	run := entry.Run{Device: l.head.Log.Device(), First: from}
	best := run
	for seq := from; seq <= l.head.Seq; seq++ {
		run.Entries = append(run.Entries, l.raws[seq-l.base-1])
		if run.Size() > most && len(best.Entries) > 0 {
			break
		}
		if sig, ok := l.sigs[seq]; ok {
			best = run
			best.Sig = sig
			best.Entries = run.Entries[:len(run.Entries):len(run.Entries)]
			if run.Size() > most {
				break
			}
		}
	}
	return best
}

// Diverged says whether a mark lies on another branch than the one held here as
// the device's log, and where to begin showing that.
func (m *Memory) Diverged(mark chain.Mark) (bool, uint64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s := m.strip(mark.Log)
	if s == nil || mark.Seq == 0 || mark.Seq > s.head.Seq || (lane{strip: s}).on(mark) {
		return false, 0, nil
	}
	for _, a := range m.asides {
		if a.head.Log == mark.Log && ((lane{&a.strip, a.first, a.first - 1}).on(mark) || mark.Seq > a.head.Seq) {
			return true, 0, nil // its holder knows
		}
	}
	return true, 1, nil
}

// Branches is how far the branches of forked logs are held.
func (m *Memory) Branches() chain.Frontier {
	m.mu.Lock()
	defer m.mu.Unlock()
	var f chain.Frontier
	for _, a := range m.asides {
		mark := a.head.Mark()
		mark.Log = a.name
		f = f.With(mark)
		if m.own(a.head.Log.Device()) == a {
			mark = m.strip(a.head.Log).head.Mark()
			mark.Log = a.beside
			f = f.With(mark)
		}
	}
	return f
}

// own is the branch beside which a device's log has its name as a branch.
func (m *Memory) own(d entry.DeviceID) (first *aside) {
	for _, a := range m.asides {
		if a.on == d.Log() && (first == nil || a.first < first.first) {
			first = a
		}
	}
	return first
}

// Stored is what is stored of a device's log, with all its branches.
func (m *Memory) Stored(d entry.DeviceID) (entries, bytes uint64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if s := m.strip(d.Log()); s != nil {
		entries, bytes = s.head.Seq, s.head.Bytes
	}
	for _, a := range m.asides {
		for _, raw := range a.raws {
			if a.head.Log == d.Log() {
				entries, bytes = entries+1, bytes+uint64(len(raw))
			}
		}
	}
	return entries, bytes
}

// Full are the devices of whose logs no more branches are kept, unless named.
func (m *Memory) Full() []entry.DeviceID {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.full()
}

func (m *Memory) full() (full []entry.DeviceID) {
	of := map[entry.DeviceID]int{}
	for _, a := range m.asides {
		d := a.head.Log.Device()
		if of[d]++; of[d] == exchange.MaxForks {
			full = append(full, d)
		}
	}
	return full
}

// NamedBy has fn say how far others had named a log's branches, and which of its
// entries that are not here.
func (m *Memory) NamedBy(fn func(entry.DeviceID) (held, wanted []entry.Mark)) { m.named = fn }

// Known is how far the holder of have holds a branch.
func (m *Memory) Known(name entry.LogID, have chain.Frontier) (uint64, error) {
	m.mu.Lock()
	l, ok := m.lane(name)
	known, end := uint64(0), uint64(0)
	var marks []chain.Mark
	var d entry.DeviceID
	if ok {
		d, end = l.head.Log.Device(), l.head.Seq
		marks = append(marks, have.Mark(l.head.Log))
		for _, a := range m.asides {
			if a.head.Log == l.head.Log {
				marks = append(marks, have.Mark(a.name), have.Mark(a.beside))
			}
		}
	}
	for _, mark := range marks {
		if mark.Seq > known && mark.Seq >= l.first && l.on(mark) {
			known = mark.Seq
		}
	}
	m.mu.Unlock()
	if !ok {
		return have.Seq(name), nil
	}
	if have.Seq(chain.Full(d)) > 0 {
		held, _ := m.named(d)
		if !slices.ContainsFunc(held, func(mark entry.Mark) bool { return mark.Seq >= l.first && l.on(mark) }) {
			return end, nil
		}
	}
	return known, nil
}

// Record writes a device's own next entries, all or none.
func (m *Memory) Record(key ed25519.PrivateKey, d entry.DeviceID, wall int64, seen chain.Frontier, writes ...entry.Draft) ([]entry.Entry, error) {
	m.telling.Lock()
	defer m.telling.Unlock()
	m.mu.Lock()
	es, err := m.record(key, d, wall, seen, writes)
	tell := m.tell
	m.mu.Unlock()
	if err == nil && tell != nil && len(es) > 0 {
		tell(es)
	}
	return es, err
}

func (m *Memory) record(key ed25519.PrivateKey, d entry.DeviceID, wall int64, seen chain.Frontier, writes []entry.Draft) ([]entry.Entry, error) {
	if len(writes) == 0 {
		return nil, nil
	}
	if len(key) != ed25519.PrivateKeySize {
		return nil, fmt.Errorf("%w: %d bytes", ErrKey, len(key))
	}
	public := entry.Key(key.Public().(ed25519.PublicKey))
	s := &strip{head: chain.Start(m.farm, d, public), sigs: map[uint64]entry.Signature{}}
	if old := m.strip(d.Log()); old != nil {
		s = old.clone()
	}
	if s.head.Key != public {
		return nil, fmt.Errorf("%w: device %s", ErrKey, d)
	}
	if slices.ContainsFunc(m.asides, func(a *aside) bool { return a.head.Log == d.Log() }) {
		return nil, fmt.Errorf("%w: device %s", ErrForked, d)
	}
	var latest hlc.Time
	for _, o := range m.logs {
		latest = hlc.Later(latest, o.head.Clock, wall)
	}
	before := len(s.entries)
	for i, draft := range writes {
		var err error
		if i == 0 {
			if draft.Seen, err = m.seen(&s.head, seen, draft.Seen); err != nil {
				return nil, err
			}
		}
		draft.Clock = hlc.Next(latest, wall)
		draft.Wall, latest = wall, draft.Clock
		if err := s.write(key, draft); err != nil {
			return nil, err
		}
	}
	m.keep(s)
	return slices.Clone(s.entries[before:]), nil
}

// seen is what a draft says its writer has newly seen.
func (m *Memory) seen(h *chain.Head, f chain.Frontier, own []entry.Mark) ([]entry.Mark, error) {
	out := slices.Clone(own)
	for _, mark := range f {
		named := slices.ContainsFunc(own, func(o entry.Mark) bool { return o.Log == mark.Log })
		if mark.Log == h.Log || named || mark.Seq == 0 {
			continue
		}
		if o := m.strip(mark.Log); o == nil || mark.Seq > o.head.Seq {
			return nil, fmt.Errorf("%w: %s up to %d", ErrUnseen, mark.Log, mark.Seq)
		}
		if i := h.Peer(mark.Log); i < 0 || mark.Seq > h.Seen[i] {
			out = append(out, mark)
		}
	}
	return out, nil
}

// write adds one entry and reads it as others will.
func (s *strip) write(key ed25519.PrivateKey, draft entry.Draft) error {
	ahead := s.head.Clone()
	raw, err := wire.Encode(&ahead, draft)
	if err != nil {
		return err
	}
	if s.head.Seq == 0 {
		named, err := wire.Start(s.head.Farm, s.head.Log.Device(), raw)
		if err != nil {
			return err
		}
		if named.Key != s.head.Key {
			return fmt.Errorf("%w: the first entry of %s names another", ErrKey, s.head.Log)
		}
	}
	e, err := wire.Decode(&s.head, raw)
	if err != nil {
		return err
	}
	s.entries, s.raws, s.hashes = append(s.entries, e), append(s.raws, raw), append(s.hashes, s.head.Hash)
	s.sigs[e.Seq] = entry.Sign(key, s.head.Hash)
	return nil
}

// Take checks runs and keeps those that are right.
func (m *Memory) Take(runs []entry.Run) (exchange.Taken, error) {
	wanted := map[entry.DeviceID][]entry.Mark{}
	for _, d := range m.Full() {
		_, wanted[d] = m.named(d)
	}
	m.telling.Lock()
	defer m.telling.Unlock()
	m.mu.Lock()
	m.wanted = wanted
	var taken exchange.Taken
	for _, r := range runs {
		es, err := m.take(r)
		if err != nil {
			taken.Refused = append(taken.Refused, exchange.Refusal{Device: r.Device, First: r.First, Err: err})
		}
		taken.Entries = append(taken.Entries, es...)
	}
	taken.New = m.frontier()
	tell := m.tell
	m.mu.Unlock()
	if tell != nil && len(taken.Entries) > 0 {
		tell(taken.Entries)
	}
	return taken, nil
}

func (m *Memory) take(r entry.Run) ([]entry.Entry, error) {
	if err := bounded(r); err != nil {
		return nil, err
	}
	s := m.strip(r.Device.Log())
	if s == nil {
		if r.First != 1 || len(r.Entries) == 0 {
			return nil, fmt.Errorf("%w: it starts at %d, held is none", chain.ErrGap, r.First)
		}
		if len(m.logs) >= entry.MaxDevices {
			return nil, fmt.Errorf("%w: %d devices", exchange.ErrBound, len(m.logs))
		}
		head, err := wire.Start(m.farm, r.Device, r.Entries[0])
		if err != nil {
			return nil, err
		}
		s = &strip{head: head, sigs: map[uint64]entry.Signature{}}
	}
	held := func(seq uint64) ([]byte, error) { return s.raws[seq-1], nil }
	v, next, es, err := wire.Open(s.head, r, held)
	if errors.Is(err, chain.ErrEmpty) {
		return nil, nil
	}
	if err != nil {
		return nil, m.refused(s, r, err)
	}
	for _, raw := range v.Run().Entries {
		s.raws = append(s.raws, bytes.Clone(raw))
		s.head.Advance(raw)
		s.hashes = append(s.hashes, s.head.Hash)
	}
	s.head, s.entries = next, append(s.entries, es...)
	s.sigs[next.Seq] = r.Sig
	m.keep(s)
	return es, nil
}

func bounded(r entry.Run) error {
	if size := r.Size(); size > exchange.MaxRun && len(r.Entries) > 1 {
		return fmt.Errorf("%w: run of %d bytes, %d at most", exchange.ErrBound, size, exchange.MaxRun)
	}
	for _, raw := range r.Entries {
		if len(raw) > entry.MaxRaw {
			return fmt.Errorf("%w: entry of %d bytes, %d at most", exchange.ErrBound, len(raw), entry.MaxRaw)
		}
	}
	return nil
}

// refused keeps a run of another branch aside, if the device signed it.
func (m *Memory) refused(s *strip, r entry.Run, why error) error {
	var fork *chain.ForkError
	if errors.As(why, &fork) {
		if m.parts(r.Device.Log(), r, fork) {
			return fork
		}
		why = entry.ErrSignature
	}
	for _, a := range m.asides {
		if a.head.Log != r.Device.Log() || r.First <= a.first || r.First > a.head.Seq+1 || !m.goesOn(a, r) {
			continue
		}
		on, _ := m.lane(a.on)
		return &chain.ForkError{Device: r.Device, Seq: a.first, Ours: on.raws[a.first-on.base-1], Theirs: a.raws[0]}
	}
	return why
}

// parts takes a run aside that parts from a log, or a branch, within it. It says
// whether the device signed it.
func (m *Memory) parts(name entry.LogID, r entry.Run, fork *chain.ForkError) bool {
	from, _ := m.lane(name)
	at := from.head.Clone()
	at.Seq, at.Hash = fork.Seq-1, entry.FirstHash(m.farm, r.Device)
	if at.Seq > from.base {
		at.Hash = from.hashes[at.Seq-from.base-1]
	}
	r.Entries, r.First = r.Entries[fork.Seq-r.First:], fork.Seq
	if _, err := chain.Check(at, r, nil); err != nil {
		return false
	}
	own := chain.Branch(entry.NextHash(at.Hash, r.Entries[0]))
	if a := m.aside(own); a != nil {
		return m.goesOn(a, r)
	}
	if !m.room(r) {
		return true
	}
	a := &aside{strip{head: at, sigs: map[uint64]entry.Signature{}}, fork.Seq, own, name, chain.Branch(from.hashes[fork.Seq-from.base-1])}
	m.asides = append(m.asides, a)
	return m.goesOn(a, r)
}

// room says whether a run may begin another branch.
func (m *Memory) room(r entry.Run) bool {
	return !slices.Contains(m.full(), r.Device) ||
		slices.ContainsFunc(m.wanted[r.Device], func(mark entry.Mark) bool { return mark.Seq >= r.First })
}

func (m *Memory) aside(name entry.LogID) *aside {
	for _, a := range m.asides {
		if a.name == name {
			return a
		}
	}
	return nil
}

// goesOn takes a run that goes on from some entry of a branch. It says whether
// the run does.
func (m *Memory) goesOn(a *aside, r entry.Run) bool {
	err := a.extend(r)
	if fork := (*chain.ForkError)(nil); errors.As(err, &fork) {
		return m.parts(a.name, r, fork)
	}
	return err == nil || errors.Is(err, chain.ErrEmpty)
}

// extend adds what a run has beyond the branch.
func (a *aside) extend(r entry.Run) error {
	held := func(seq uint64) ([]byte, error) { return a.raws[seq-a.first], nil }
	v, err := chain.Check(a.head, r, held)
	if err != nil {
		return err
	}
	for _, raw := range v.Run().Entries {
		a.raws = append(a.raws, bytes.Clone(raw))
		a.head.Advance(raw)
		a.hashes = append(a.hashes, a.head.Hash)
	}
	a.sigs[a.head.Seq] = r.Sig
	return nil
}
