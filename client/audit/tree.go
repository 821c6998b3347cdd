package audit

import (
	"fmt"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/wire"
)

// tree is one device's log: a chain of entries, or several that have their
// beginning in common where the device went on from an old copy of itself.
type tree struct {
	farm  entry.FarmID
	key   entry.Key
	root  *node // before the first entry
	nodes map[entry.Hash]*node
}

// node is an entry in its place, by the chain's hash after it.
type node struct {
	device entry.DeviceID
	seq    uint64
	hash   entry.Hash
	raw    []byte
	sig    *entry.Signature // that the device made here, where it is kept
	before *node
	after  []*node
	says   reading // what a file says of it in words
}

// plant begins the log of a device, whose first entry names its key.
func plant(farm entry.FarmID, d entry.DeviceID, first []byte) (*tree, error) {
	head, err := wire.Start(farm, d, first)
	if err != nil {
		return nil, err
	}
	root := &node{device: d, hash: head.Hash}
	return &tree{farm: farm, key: head.Key, root: root, nodes: map[entry.Hash]*node{root.hash: root}}, nil
}

// grow puts an entry after a node, and gives its place: the one that it has
// already, where it is there.
func (t *tree) grow(at *node, raw []byte) *node {
	hash := entry.NextHash(at.hash, raw)
	if n, ok := t.nodes[hash]; ok {
		return n
	}
	n := &node{device: at.device, seq: at.seq + 1, hash: hash, raw: raw, before: at}
	at.after = append(at.after, n)
	t.nodes[hash] = n
	return n
}

// sign keeps a signature, once it is seen to fit.
func (t *tree) sign(n *node, sig entry.Signature) error {
	if err := entry.Verify(t.key, n.hash, sig); err != nil {
		return err
	}
	n.sig = &sig
	return nil
}

// take puts a run in its place: after the entry by whose hash its signature
// fits.
func (t *tree) take(r *entry.Run, tips map[uint64][]*node) error {
	for _, at := range tips[r.First-1] {
		hash := at.hash
		for _, raw := range r.Entries {
			hash = entry.NextHash(hash, raw)
		}
		if entry.Verify(t.key, hash, r.Sig) != nil {
			continue
		}
		for _, raw := range r.Entries {
			known := len(t.nodes)
			if at = t.grow(at, raw); len(t.nodes) > known {
				tips[at.seq] = append(tips[at.seq], at)
			}
		}
		return t.sign(at, r.Sig)
	}
	return fmt.Errorf("entries %d to %d of device %s: %w", r.First, r.Last(), r.Device, entry.ErrSignature)
}

// forked says whether the log goes on in more than one way.
func (t *tree) forked() bool {
	for n := t.root; ; n = n.after[0] {
		if len(n.after) != 1 {
			return len(n.after) > 1
		}
	}
}

// stretch is a part of a log between two forks, or to its end.
type stretch struct {
	name    entry.LogID // the device's own, or that of a branch
	above   *stretch    // that it goes on from; nil for the first
	from    *node       // the entry that it goes on from
	entries []*node
}

// stretches are the log's, those that others go on from before them.
func (t *tree) stretches() []*stretch {
	return t.walk(&stretch{name: t.root.device.Log(), from: t.root}, t.root)
}

func (t *tree) walk(s *stretch, at *node) []*stretch {
	for len(at.after) == 1 {
		at = at.after[0]
		s.entries = append(s.entries, at)
	}
	all := []*stretch{s}
	for _, n := range at.after {
		branch := &stretch{name: chain.Branch(n.hash), above: s, from: at, entries: []*node{n}}
		all = append(all, t.walk(branch, n)...)
	}
	return all
}

// id is what the fold calls an entry of the stretch.
func (s *stretch) id(n *node) entry.ID { return entry.ID{Log: s.name, Seq: n.seq} }

// run is the whole log up to a node that is signed.
func (n *node) run() entry.Run {
	r := entry.Run{Device: n.device, First: 1, Entries: make([][]byte, n.seq), Sig: *n.sig}
	for at := n; at.seq > 0; at = at.before {
		r.Entries[at.seq-1] = at.raw
	}
	return r
}

// ends are the last entries of the log, one for each branch.
func (t *tree) ends() []*node {
	var out []*node
	for _, s := range t.stretches() {
		if n := len(s.entries); n > 0 && len(s.entries[n-1].after) == 0 {
			out = append(out, s.entries[n-1])
		}
	}
	return out
}
