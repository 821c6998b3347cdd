package logstore

import (
	"encoding/binary"
	"errors"
	"slices"

	"github.com/cockroachdb/pebble/v2"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// branch is a branch of a forked log that is not the one held as the device's
// log. Its entries and signatures are kept like a device's, under its name.
type branch struct {
	device entry.DeviceID
	on     entry.LogID // what it parts from: the device's own, or another branch
	first  uint64      // the number from which the two differ
	before entry.Hash  // the chain's hash before that
	beside entry.LogID // name of what it parts from, from there on
	head   chain.Head  // its end; Log is its name
}

func branchKey(farm entry.FarmID, name entry.LogID) []byte {
	return logKey(spaceBranch, farm, name)
}

func putBranch(b *pebble.Batch, br *branch) error {
	v := append([]byte{}, br.device[:]...)
	v = append(v, br.on[:]...)
	v = append(v, br.beside[:]...)
	v = append(v, br.before[:]...)
	v = binary.AppendUvarint(v, br.first)
	return put(b, branchKey(br.head.Farm, br.head.Log), appendHead(v, &br.head))
}

func readBranch(key, value []byte) (*branch, error) {
	p, err := payload(key, value)
	if err != nil {
		return nil, err
	}
	br := &branch{}
	r := parser{b: p}
	copy(br.device[:], r.bytes(idLen))
	copy(br.on[:], r.bytes(idLen))
	copy(br.beside[:], r.bytes(idLen))
	copy(br.before[:], r.bytes(len(br.before)))
	br.first = r.uint()
	if r.bad || br.first == 0 || len(key) != headLen {
		return nil, damaged(key, "torn")
	}
	br.head, _, err = readHead(entry.FarmID(key[1:farmLen]), entry.LogID(key[farmLen:]), r.b)
	return br, err
}

// start is where the branch begins, in the form of an end before it.
func (br *branch) start() end { return end{seq: br.first - 1, hash: br.before} }

func loadBranches(db pebble.Reader, farm entry.FarmID) ([]*branch, error) {
	prefix := farmKey(spaceBranch, farm)
	it, err := db.NewIter(&pebble.IterOptions{LowerBound: prefix, UpperBound: after(prefix)})
	if err != nil {
		return nil, err
	}
	var all []*branch
	for ok := it.First(); ok && err == nil; ok = it.Next() {
		var br *branch
		br, err = readBranch(it.Key(), it.Value())
		all = append(all, br)
	}
	return all, errors.Join(err, unreadable(prefix, it.Error()), it.Close())
}

// branchesOf are the other branches of a device's log.
func (s *state) branchesOf(d entry.DeviceID) []*branch {
	var all []*branch
	for _, br := range s.branches {
		if br.device == d {
			all = append(all, br)
		}
	}
	return all
}

// withBranches is the state with branches in the place of those of their names.
func (s *state) withBranches(branches ...*branch) *state {
	next := *s
	next.branches = slices.Clone(s.branches)
	for _, br := range branches {
		next.branches = slices.DeleteFunc(next.branches, func(o *branch) bool { return o.head.Log == br.head.Log })
		next.branches = append(next.branches, br)
	}
	return &next
}

// lane is what a frontier's mark can name: a device's log from its first entry
// on, or a branch of one from where it parts.
type lane struct {
	device entry.DeviceID
	first  uint64
	head   *chain.Head // its Log is what the entries are kept under
	start  end         // from where hashes can be computed
}

func (s *state) lane(name entry.LogID) (lane, bool) {
	if h := s.head(name); h != nil {
		return lane{name.Device(), 1, h, beginning(h)}, true
	}
	for _, br := range s.branches {
		switch name {
		case br.head.Log:
			return lane{br.device, br.first, &br.head, br.start()}, true
		case br.beside:
			l, ok := s.lane(br.on)
			l.first = br.first
			return l, ok
		}
	}
	return lane{}, false
}

// names are what branches of a device's log are called here, and the log itself.
func (s *state) names(d entry.DeviceID) []entry.LogID {
	all := []entry.LogID{d.Log()}
	for _, br := range s.branchesOf(d) {
		all = append(all, br.head.Log, br.beside)
	}
	return all
}

// beginning is the place before a log's first entry.
func beginning(h *chain.Head) end { return end{hash: entry.FirstHash(h.Farm, h.Log.Device())} }

// Branches are how far the branches of forked logs are held, both the other
// ones and those that are held as the devices' logs. A log that is not forked
// has none. Together with the frontier they say all that is held.
func (l *Log) Branches() chain.Frontier {
	s := l.durable.Load()
	var f chain.Frontier
	for _, br := range s.branches {
		f = f.With(br.head.Mark())
		if own := s.own(br.device); own == br {
			m := s.head(br.device.Log()).Mark()
			m.Log = br.beside
			f = f.With(m)
		}
	}
	return f
}

// own is the branch beside which a device's log has its name as a branch: the
// first that parts from it.
func (s *state) own(d entry.DeviceID) *branch {
	var first *branch
	for _, br := range s.branchesOf(d) {
		if br.on == d.Log() && (first == nil || br.first < first.first) {
			first = br
		}
	}
	return first
}

// Stored is what is stored of a device's log, with all its branches.
func (l *Log) Stored(d entry.DeviceID) (entries, bytes uint64) {
	s := l.durable.Load()
	if h := s.head(d.Log()); h != nil {
		entries, bytes = h.Seq, h.Bytes
	}
	for _, br := range s.branchesOf(d) {
		entries, bytes = entries+br.head.Seq-br.first+1, bytes+br.head.Bytes
	}
	return entries, bytes
}

// Full are the devices of whose logs no more branches are kept, unless somebody
// named them.
func (l *Log) Full() []entry.DeviceID { return l.durable.Load().full() }

func (s *state) full() []entry.DeviceID {
	var full []entry.DeviceID
	of := map[entry.DeviceID]int{}
	for _, br := range s.branches {
		if of[br.device]++; of[br.device] == exchange.MaxForks {
			full = append(full, br.device)
		}
	}
	return full
}
