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

func (c *Client) readPeers() (map[string]exchange.Generation, error) {
	b, err := c.disk().Setting(settingPeers)
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
func (c *Client) remember(name string, m syncer.Memory) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.record == nil {
		return ErrNoFarm // it was undone meanwhile
	}
	if m.Brief != c.brief[name] {
		if err := c.writeBrief(name, m.Brief); err != nil {
			return err
		}
	}
	if g, ok := c.peers[name]; !ok || g != m.Generation {
		if err := c.record.SetPeer(name, nil); err != nil {
			return err
		}
		c.peers[name] = m.Generation
		if err := c.writePeers(); err != nil {
			return err
		}
	}
	return c.record.SetPeer(name, m.Stored)
}

// readBrief reads which peers read short names.
func (c *Client) readBrief() (map[string]bool, error) {
	b, err := c.disk().Setting(settingBrief)
	if err != nil {
		return nil, err
	}
	brief := map[string]bool{}
	for _, name := range strings.Fields(string(b)) {
		brief[name] = true
	}
	return brief, nil
}

func (c *Client) writeBrief(name string, reads bool) error {
	c.brief[name] = reads
	var names []string
	for _, n := range slices.Sorted(maps.Keys(c.brief)) {
		if c.brief[n] {
			names = append(names, n)
		}
	}
	return c.disk().SetSettings(map[string][]byte{settingBrief: []byte(strings.Join(names, " "))})
}

// forget drops what is remembered of a peer that is no more.
func (c *Client) forget(name string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.record == nil {
		return ErrNoFarm
	}
	delete(c.peers, name)
	if err := c.writePeers(); err != nil {
		return err
	}
	return c.record.SetPeer(name, nil)
}

func (c *Client) writePeers() error {
	text := map[string]string{}
	for name, g := range c.peers {
		text[name] = hex.EncodeToString(g[:])
	}
	b, err := json.Marshal(text)
	if err != nil {
		return err
	}
	return c.disk().SetSettings(map[string][]byte{settingPeers: b})
}

// memory is what is remembered of a peer.
func (c *Client) memory(name string) (syncer.Memory, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	g, ok := c.peers[name]
	if !ok {
		return syncer.Memory{}, nil
	}
	f, err := c.record.Peer(name)
	return syncer.Memory{Generation: g, Stored: f, Brief: c.brief[name]}, err
}

// Pending is the number of this device's own entries that are not yet known to
// be durable at another replica. It holds across restarts.
func (c *Client) Pending() int {
	r, err := c.replica()
	if err != nil {
		return 0
	}
	me := c.Device()
	own := r.Frontier().Seq(me)
	var safe uint64
	for _, name := range c.peerNames() {
		m, err := c.memory(name)
		if err != nil {
			c.log.Error("cannot read what a peer holds", "peer", name, "err", err)
			continue // counts as if it held nothing: pending is never told too low
		}
		if n, err := proved(r, m.Stored.Mark(me)); err == nil {
			safe = max(safe, n)
		}
	}
	return int(own - safe)
}

// proved is how far a mark shows that its holder has a log: it names an entry
// that is held here, by its hash. A number alone shows nothing.
func proved(r *replica.Replica, m chain.Mark) (uint64, error) {
	if m.Seq == 0 || m.Seq > r.Frontier().Seq(m.Device) {
		return 0, nil
	}
	parted, _, err := r.Log().Parted(m)
	if err != nil || parted {
		return 0, err
	}
	return m.Seq, nil
}

func (c *Client) peerNames() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	names := make([]string, 0, len(c.peers))
	for name := range c.peers {
		names = append(names, name)
	}
	return names
}
