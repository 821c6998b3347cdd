package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"os"
	"sync"

	"turnrow/client"
)

// A turnrow that runs for long holds its home's store. It keeps a door open
// for the others meanwhile: a socket in the home, mode 0600, through which they
// hand in their command line and get back what it prints. So nothing is refused
// while a page is open, and all see the same record.
//
// A call is one line of JSON each way: a knock, then answers, the last of
// which carries the exit code. Hanging up calls a running command off.

// knock is a call that is handed in.
type knock struct {
	Args     []string        `json:"args"`
	Dir      string          `json:"dir"` // that relative paths start from
	In       []byte          `json:"in,omitempty"`
	Terminal bool            `json:"terminal"`
	Answers  []client.Answer `json:"answers,omitempty"` // that the caller gave to what was asked before
}

// piece is a part of what the call printed, or its end.
type piece struct {
	Out  []byte     `json:"out,omitempty"`
	Errs []byte     `json:"errs,omitempty"`
	Asks []question `json:"asks,omitempty"` // what is to be answered before the call is handed in again
	Exit *int       `json:"exit,omitempty"`
}

// openDoor serves others' calls on the home that is held, until close is
// called; close waits for the calls that are under way. Where no door can be
// opened it says so and goes on: others wait their turn.
func (g *globals) openDoor(ctx context.Context, h *client.Home) (close func(), err error) {
	if g.held != nil {
		return func() {}, nil // the door that this call came through serves
	}
	home, err := g.homeDir()
	if err != nil {
		return nil, err
	}
	path, release, err := doorPath(home)
	if err != nil {
		g.warn("other commands on this home wait until this one ends: " + err.Error())
		return func() {}, nil
	}
	l, err := listenAt(path)
	if err != nil {
		release()
		return nil, err
	}
	ctx, cancel := context.WithCancel(ctx)
	var calls sync.WaitGroup
	calls.Go(func() { g.serveDoor(ctx, l, h, &calls) })
	return func() {
		l.Close()
		cancel()
		calls.Wait()
		release()
	}, nil
}

// listenAt takes the place of a socket that a program left behind: whoever
// comes here holds the store, so nobody answers at the old one.
func listenAt(path string) (net.Listener, error) {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, err
	}
	return l, os.Chmod(path, 0o600)
}

func (g *globals) serveDoor(ctx context.Context, l net.Listener, h *client.Home, calls *sync.WaitGroup) {
	for {
		conn, err := l.Accept()
		if err != nil {
			return
		}
		calls.Go(func() {
			defer conn.Close()
			serveCall(ctx, conn, h)
		})
	}
}

// serveCall carries out one call on the held home.
func serveCall(ctx context.Context, conn net.Conn, h *client.Home) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var k knock
	in := json.NewDecoder(conn)
	if in.Decode(&k) != nil {
		return
	}
	go func() {
		defer cancel()
		_ = in.Decode(new(knock)) // returns when the caller hangs up, or when the call is over
	}()
	w := &pieces{enc: json.NewEncoder(conn)}
	held := &globals{
		place: place{held: h, dir: k.Dir, in: k.In, terminal: k.Terminal},
		out:   writerFunc(func(p []byte) error { return w.send(piece{Out: p}) }),
		errs:  writerFunc(func(p []byte) error { return w.send(piece{Errs: p}) }),
		asked: asked{answers: k.Answers, handOn: func(qs []question) { _ = w.send(piece{Asks: qs}) }},
	}
	code := held.run(ctx, k.Args)
	_ = w.send(piece{Exit: &code})
}

// pieces sends one piece at a time.
type pieces struct {
	mu  sync.Mutex
	enc *json.Encoder
}

func (w *pieces) send(a piece) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.enc.Encode(a)
}

type writerFunc func([]byte) error

func (f writerFunc) Write(p []byte) (int, error) {
	if err := f(p); err != nil {
		return 0, err
	}
	return len(p), nil
}

var _ io.Writer = writerFunc(nil)
