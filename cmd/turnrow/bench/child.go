package bench

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"turnrow/client"
	"turnrow/server"
)

// The parts that a process of its own plays. Each answers in lines of JSON.
const (
	partServe = "serve" // a server; for each line of input it says how much memory it uses
	partOpen  = "open"  // opens a home once and says how long that took
)

// ErrPart reports a part that Child does not play.
var ErrPart = errors.New("bench: no such part")

// Child plays a part in a process of its own, for Run in another.
func Child(ctx context.Context, part, dir string, in io.Reader, out io.Writer) error {
	switch part {
	case partServe:
		return childServe(ctx, dir, in, json.NewEncoder(out))
	case partOpen:
		return childOpen(dir, json.NewEncoder(out))
	}
	return fmt.Errorf("%w: %q", ErrPart, part)
}

// served is what a serving child says first.
type served struct {
	Address, Pin string
}

// memory is what a process uses, bytes.
type memory struct {
	Held uint64        // heap after a collection, stacks
	Peak uint64        // most that it ever had of the machine
	CPU  time.Duration // processor time so far, the asking left out
}

func childServe(ctx context.Context, dir string, in io.Reader, out *json.Encoder) error {
	s, err := server.New(server.Config{Data: dir, Listen: "127.0.0.1:0"})
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	err = out.Encode(served{s.Addr(), s.Pin()})
	for lines := bufio.NewScanner(in); err == nil && lines.Scan(); {
		err = out.Encode(memoryNow())
	}
	cancel()
	return errors.Join(err, <-ended)
}

func memoryNow() memory {
	used := cpu()
	debug.FreeOSMemory()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	now := memory{Held: m.HeapAlloc + m.StackInuse, Peak: peak(&m), CPU: used - asking}
	asking += cpu() - used
	return now
}

// asking is the processor time that memoryNow itself has taken.
var asking time.Duration

// peak is the most memory that the process had: what the system counted as
// resident where it says so, and else what Go has asked it for.
func peak(m *runtime.MemStats) uint64 {
	b, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return m.Sys
	}
	_, rest, _ := strings.Cut(string(b), "VmHWM:")
	var kib uint64
	if _, err := fmt.Sscanf(rest, "%d kB", &kib); err != nil {
		return m.Sys
	}
	return kib << 10
}

// opened is what an opening child says.
type opened struct {
	Took    time.Duration
	Entries int
	memory
}

func childOpen(home string, out *json.Encoder) (err error) {
	begun := time.Now()
	h, err := client.Open(home, client.Options{})
	if err != nil {
		return err
	}
	f, err := h.Farm()
	if err != nil {
		return errors.Join(err, h.Close())
	}
	v := f.View()
	o := opened{Took: time.Since(begun), Entries: v.Entries}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	o.Peak = peak(&m)
	o.Held = memoryNow().Held
	return errors.Join(out.Encode(o), h.Close())
}

// child is a process that plays a part.
type child struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *json.Decoder
}

func (b *bench) child(ctx context.Context, part, dir string) (*child, error) {
	args := append(b.Self[1:len(b.Self):len(b.Self)], part, dir)
	c := &child{cmd: exec.CommandContext(ctx, b.Self[0], args...)}
	c.cmd.Stderr = os.Stderr
	in, err1 := c.cmd.StdinPipe()
	out, err2 := c.cmd.StdoutPipe()
	if err := errors.Join(err1, err2, c.cmd.Start()); err != nil {
		return nil, err
	}
	c.in, c.out = in, json.NewDecoder(out)
	return c, nil
}

// memory asks a serving child how much it uses.
func (c *child) memory() (m memory, err error) {
	if _, err = io.WriteString(c.in, "\n"); err == nil {
		err = c.out.Decode(&m)
	}
	return m, err
}

// end ends a child, and says how it ended.
func (c *child) end() error { return errors.Join(c.in.Close(), c.cmd.Wait()) }
