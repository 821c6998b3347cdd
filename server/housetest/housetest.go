// Package housetest runs a server for tests: a real one, over TLS on loopback,
// that can be stopped and started again at its address, and lost.
package housetest

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"turnrow/server"
)

// House is a server, and the folder that it keeps its farms in.
type House struct {
	T      testing.TB
	Data   string
	Listen string           // its address, once it was started
	Now    func() time.Time // its clock; nil is time.Now
	Server *server.Server   // that was started last
	Stop   func()           // ends it; nothing where it is not running
}

// New starts a server by a clock, nil for time.Now. It ends with the test.
func New(t testing.TB, now func() time.Time) *House {
	h := &House{T: t, Now: now, Data: filepath.Join(t.TempDir(), "data"), Listen: "127.0.0.1:0"}
	h.Start()
	t.Cleanup(func() { h.Stop() })
	return h
}

// Start serves; a second start is at the same address.
func (h *House) Start() {
	h.T.Helper()
	srv, err := server.New(server.Config{Data: h.Data, Listen: h.Listen, Now: h.Now})
	if err != nil {
		h.T.Fatal(err)
	}
	h.Server, h.Listen = srv, srv.Addr()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- srv.Run(ctx) }()
	h.Stop = func() {
		cancel()
		if err := <-ended; err != nil {
			h.T.Errorf("server ended with %v", err)
		}
		h.Stop = func() {}
	}
}

// FoundingAddress is the address by which a farm is founded on the server.
func (h *House) FoundingAddress() string {
	h.T.Helper()
	a, err := h.Server.FoundingAddress()
	if err != nil {
		h.T.Fatal(err)
	}
	return a
}
