package client

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"turnrow/client/syncer"
	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/replica"
)

// peerServer is the name under which the farm's server is remembered; a device
// has its ID.
const peerServer = "server"

func peerDevice(d entry.DeviceID) string { return d.String() }

func (k *kept) readPeers() (map[string]exchange.Generation, error) {
	b, err := k.store.Setting(settingPeers)
	if err != nil {
		return nil, err
	}
	text := map[string]string{}
	if b != nil {
		if err := json.Unmarshal(b, &text); err != nil {
			return nil, fmt.Errorf("what is remembered of peers: %w", err)
		}
	}
	peers := map[string]exchange.Generation{}
	for name, gen := range text {
		g, err := hex.DecodeString(gen)
		if err != nil || len(g) != len(exchange.Generation{}) {
			return nil, fmt.Errorf("what is remembered of peer %s: generation %q", name, gen)
		}
		peers[name] = exchange.Generation(g)
	}
	return peers, nil
}

// remember keeps how far a peer is. Its generation is on disk first, so that a
// frontier is never taken for that of another store.
func (k *kept) remember(name string, m syncer.Memory) error {
	k.remembering.Lock()
	defer k.remembering.Unlock()
	if m.ReadsBrief != k.brief[name] {
		if err := k.writeBrief(name, m.ReadsBrief); err != nil {
			return err
		}
	}
	if g, ok := k.peers[name]; !ok || g != m.Generation {
		if err := k.record.SetPeer(name, nil); err != nil {
			return err
		}
		k.peers[name] = m.Generation
		if err := k.writePeers(); err != nil {
			return err
		}
	}
	return k.record.SetPeer(name, m.Stored)
}

// readBrief reads which peers read short names.
func (k *kept) readBrief() (map[string]bool, error) {
	b, err := k.store.Setting(settingBrief)
	if err != nil {
		return nil, err
	}
	brief := map[string]bool{}
	for _, name := range strings.Fields(string(b)) {
		brief[name] = true
	}
	return brief, nil
}

func (k *kept) writeBrief(name string, reads bool) error {
	k.brief[name] = reads
	var names []string
	for _, n := range slices.Sorted(maps.Keys(k.brief)) {
		if k.brief[n] {
			names = append(names, n)
		}
	}
	return k.store.SetSettings(map[string][]byte{settingBrief: []byte(strings.Join(names, " "))})
}

// forget drops what is remembered of a peer that is no more.
func (k *kept) forget(name string) error {
	k.remembering.Lock()
	defer k.remembering.Unlock()
	delete(k.peers, name)
	if err := k.writePeers(); err != nil {
		return err
	}
	return k.record.SetPeer(name, nil)
}

func (k *kept) writePeers() error {
	text := map[string]string{}
	for name, g := range k.peers {
		text[name] = hex.EncodeToString(g[:])
	}
	b, err := json.Marshal(text)
	if err != nil {
		return err
	}
	return k.store.SetSettings(map[string][]byte{settingPeers: b})
}

// memory is what is remembered of a peer.
func (k *kept) memory(name string) (syncer.Memory, error) {
	k.remembering.Lock()
	defer k.remembering.Unlock()
	g, ok := k.peers[name]
	if !ok {
		return syncer.Memory{}, nil
	}
	f, err := k.record.Peer(name)
	return syncer.Memory{Generation: g, Stored: f, ReadsBrief: k.brief[name]}, err
}

// Pending is the number of this device's own entries that are not yet known to
// be durable at another replica. It holds across restarts.
func (f *Farm) Pending() int {
	me := f.Device()
	own := f.replica.Frontier().Seq(me.Log())
	var safe uint64
	for _, name := range f.peerNames() {
		m, err := f.memory(name)
		if err != nil {
			f.log.Error("cannot read what a peer holds", "peer", name, "err", err)
			continue // counts as if it held nothing: pending is never told too low
		}
		if n, err := proved(f.replica, m.Stored.Mark(me.Log())); err == nil {
			safe = max(safe, n)
		}
	}
	return int(own - safe)
}

// proved is how far a mark shows that its holder has a log: it names an entry
// that is held here, by its hash. A number alone shows nothing.
func proved(r *replica.Replica, m chain.Mark) (uint64, error) {
	if m.Seq == 0 || m.Seq > r.Frontier().Seq(m.Log) {
		return 0, nil
	}
	diverged, _, err := r.Log().Diverged(m)
	if err != nil || diverged {
		return 0, err
	}
	return m.Seq, nil
}

func (k *kept) peerNames() []string {
	k.remembering.Lock()
	defer k.remembering.Unlock()
	names := make([]string, 0, len(k.peers))
	for name := range k.peers {
		names = append(names, name)
	}
	return names
}
