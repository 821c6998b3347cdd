package client

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"turnrow/client/syncer"
	"turnrow/sync/cert"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

// The settings that a client keeps in its store.
const (
	settingFarm   = "farm"   // 16 bytes
	settingServer = "server" // HOST:PORT; none where the farm has no server
	settingPin    = "pin"    // 32 bytes; none where an authority vouches for the server
	settingCode   = "code"   // founding code, until it is spent
	settingMet    = "met"    // when this device last met another, ms since 1970, 8 bytes
	settingPeers  = "peers"  // JSON: name of each peer that is remembered, to its generation in hex
	// settingOriginal is the store's generation and the device that writes to
	// it. A copy of the store has another generation.
	settingOriginal = "original"
)

// peerServer is the name under which the farm's server is remembered; a device
// has its ID.
const peerServer = "server"

func peerDevice(d entry.DeviceID) string { return d.String() }

// serverAddress is where the farm's server is; an empty Host where it has none.
func (c *Client) serverAddress() (Address, error) {
	var vals [3][]byte
	for i, key := range []string{settingServer, settingPin, settingCode} {
		v, err := c.store.Setting(key)
		if err != nil {
			return Address{}, err
		}
		vals[i] = v
	}
	a := Address{Host: string(vals[0]), Code: string(vals[2])}
	if len(vals[1]) == len(a.Pin) {
		a.Pin = cert.Pin(vals[1])
	}
	return a, nil
}

// settings are an address as it is kept.
func (a Address) settings() map[string][]byte {
	kv := map[string][]byte{settingServer: nil, settingPin: nil, settingCode: nil}
	if a.Host != "" {
		kv[settingServer] = []byte(a.Host)
	}
	if !a.Pin.IsZero() {
		kv[settingPin] = a.Pin[:]
	}
	if a.Code != "" {
		kv[settingCode] = []byte(a.Code)
	}
	return kv
}

// Server is the address of the farm's server, HOST:PORT; empty where it has
// none.
func (c *Client) Server() string {
	a, err := c.serverAddress()
	if err != nil {
		c.log.Error("cannot read the server's address", "err", err)
	}
	return a.Host
}

func (c *Client) readPeers() (map[string]exchange.Generation, error) {
	b, err := c.store.Setting(settingPeers)
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

// original checks that this is the store that the device has always written
// to, and not a copy: two that write under one name would part its log.
func (c *Client) original(me *identity) error {
	v, err := c.store.Setting(settingOriginal)
	if err == nil && !bytes.Equal(v, c.originally(me)) {
		err = syncer.ErrCopied
	}
	return err
}

func (c *Client) originally(me *identity) []byte {
	g := c.store.Generation()
	return append(g[:], me.device[:]...)
}

// remember keeps how far a peer is. Its generation is on disk first, so that a
// frontier is never taken for that of another store.
func (c *Client) remember(name string, m syncer.Memory) error {
	c.mu.Lock()
	defer c.mu.Unlock()
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

// forget drops what is remembered of a peer that is no more.
func (c *Client) forget(name string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
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
	return c.store.SetSettings(map[string][]byte{settingPeers: b})
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
	return syncer.Memory{Generation: g, Stored: f}, err
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
		safe = max(safe, m.Stored.Seq(me))
	}
	return int(own - min(own, safe))
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
