package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"turnrow/client"
	"turnrow/server"
)

// stage is where the demo is played: a server and three devices in this
// program, each with a store of its own, that speak TLS and gRPC over loopback
// as they would over any network. Only their clocks are set.
type stage struct {
	dir     string
	now     clock
	server  *server.Server
	devices []*device
	ran     chan error // the server's end
	stop    context.CancelFunc
}

// device is one of the crew's.
type device struct {
	name   string
	person string
	home   *client.Home
}

// clock is what all look at.
type clock struct {
	mu sync.Mutex
	t  time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

// set puts the clock forward to an hour and minute of the day.
func (c *clock) set(hour string) error {
	t, err := time.Parse("15:04", hour)
	if err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	y, m, d := c.t.Date()
	c.t = time.Date(y, m, d, t.Hour(), t.Minute(), 0, 0, c.t.Location())
	return nil
}

// newStage opens the stores in a folder, and starts the server.
func newStage(ctx context.Context, dir string) (*stage, error) {
	zone, err := time.LoadLocation(demoZone)
	if err != nil {
		return nil, err
	}
	s := &stage{dir: dir, now: clock{t: time.Date(2026, time.September, 14, 6, 0, 0, 0, zone)}, ran: make(chan error, 1)}
	s.server, err = server.New(server.Config{Data: filepath.Join(dir, "server"), Listen: "127.0.0.1:0", Now: s.now.now})
	if err != nil {
		return nil, err
	}
	ctx, s.stop = context.WithCancel(ctx)
	go func() { s.ran <- s.server.Run(ctx) }()
	for _, d := range []*device{{name: "house", person: "Ada"}, {name: "tractor", person: "Ben"}, {name: "phone", person: "Cal"}} {
		if d.home, err = client.Open(filepath.Join(dir, d.name), client.Options{Now: s.now.now}); err != nil {
			return nil, errors.Join(err, s.close())
		}
		s.devices = append(s.devices, d)
	}
	return s, nil
}

func (s *stage) close() error {
	var errs []error
	for _, d := range s.devices {
		errs = append(errs, d.home.Close())
	}
	s.stop()
	return errors.Join(append(errs, <-s.ran)...)
}

func (s *stage) device(name string) *device {
	for _, d := range s.devices {
		if d.name == name {
			return d
		}
	}
	return nil
}

// types carries out a command on a device, as its owner would type it, and
// gives what it prints.
func (s *stage) types(ctx context.Context, d *device, args ...string) (string, error) {
	var out, errs bytes.Buffer
	g := &globals{out: &out, errs: &errs, place: place{held: d.home, dir: s.dir}}
	if code := g.run(ctx, args); code != 0 {
		return "", fmt.Errorf("on %s, turnrow %s: %s", d.name, strings.Join(args, " "), oneLine(errs.String()))
	}
	return out.String(), nil
}

// asks is types with --json, for one key of the answer.
func (s *stage) asks(ctx context.Context, d *device, key string, args ...string) (string, error) {
	out, err := s.types(ctx, d, append(args, "--json")...)
	if err != nil {
		return "", err
	}
	var said map[string]any
	if err := json.Unmarshal([]byte(out), &said); err != nil {
		return "", err
	}
	return fmt.Sprint(said[key]), nil
}

// meet lets two devices exchange with each other, without the server.
func (s *stage) meet(ctx context.Context, host, guest *device) (string, error) {
	f, err := host.home.Farm()
	if err != nil {
		return "", err
	}
	ctx, leave := context.WithCancel(ctx)
	defer leave()
	address, over := make(chan string, 1), make(chan error, 1)
	go func() {
		over <- f.Meet(ctx, "127.0.0.1:0", func(a string) { address <- a })
	}()
	select {
	case err := <-over:
		return "", err
	case a := <-address:
		out, err := s.types(ctx, guest, "sync", "--with", a)
		leave()
		return out, errors.Join(err, <-over)
	}
}
