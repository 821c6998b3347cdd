package server_test

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"encoding/binary"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"

	"turnrow/client"
	servicev1 "turnrow/proto/turnrow/service/v1"
	"turnrow/server"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
)

const childData = "TURNROW_TEST_SERVER_DATA"

// TestServerProcess is the server of tests that look at what a server costs: in
// a process of its own.
func TestServerProcess(t *testing.T) {
	data := os.Getenv(childData)
	if data == "" {
		t.Skip("does not apply: only other tests start it")
	}
	srv, err := server.New(server.Config{Data: data, Listen: "127.0.0.1:0"})
	if err != nil {
		t.Fatal(err)
	}
	at, err := srv.FoundingAddress()
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("at", srv.Addr(), at)
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin) // until the parent ends
		cancel()
	}()
	if err := srv.Run(ctx); err != nil {
		t.Fatal(err)
	}
}

// process is a server in a process of its own.
type process struct {
	addr, founding string
	pid            int
}

func apart(t *testing.T) process {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestServerProcess$", "-test.timeout=5m")
	cmd.Env = append(os.Environ(), childData+"="+t.TempDir())
	in, err1 := cmd.StdinPipe()
	out, err2 := cmd.StdoutPipe()
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	t.Cleanup(func() {
		in.Close()
		for lines.Scan() {
			continue
		}
		if err := cmd.Wait(); err != nil {
			t.Error(err)
		}
	})
	for lines.Scan() {
		if f := strings.Fields(lines.Text()); len(f) == 3 && f[0] == "at" {
			return process{f[1], f[2], cmd.Process.Pid}
		}
	}
	t.Fatal("the server did not begin")
	panic("unreachable")
}

// peak is the most memory that the process has had, in MB.
func (p process) peak(t *testing.T) int {
	t.Helper()
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.pid))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(b)) {
		if f := strings.Fields(line); len(f) == 3 && f[0] == "VmHWM:" {
			kb, err := strconv.Atoi(f[1])
			if err != nil {
				t.Fatal(err)
			}
			return kb >> 10
		}
	}
	t.Fatal("no VmHWM")
	panic("unreachable")
}

// flood is a connection of somebody who shows no token: on each of many streams
// a message of which the last byte never comes.
type flood struct {
	conn   net.Conn
	fr     *http2.Framer
	mu     sync.Mutex
	room   *sync.Cond
	whole  int64            // bytes that may be sent on the connection
	stream map[uint32]int64 // and on each stream
	ended  bool
}

const (
	floodStreams = 32
	floodBytes   = exchange.MaxCall - 1
)

func openFlood(addr string) (*flood, error) {
	conn, err := tls.Dial("tcp", addr, &tls.Config{InsecureSkipVerify: true, NextProtos: []string{"h2"}}) // on loopback, to the test's own server
	if err != nil {
		return nil, err
	}
	f := &flood{conn: conn, fr: http2.NewFramer(conn, conn), whole: 65535, stream: map[uint32]int64{}}
	f.room = sync.NewCond(&f.mu)
	if _, err := io.WriteString(conn, http2.ClientPreface); err != nil {
		return nil, err
	}
	if err := f.fr.WriteSettings(); err != nil {
		return nil, err
	}
	go f.read()
	return f, nil
}

// read takes the room that the other gives, until the connection ends.
func (f *flood) read() {
	initial := int64(65535)
	for {
		frame, err := f.fr.ReadFrame()
		f.mu.Lock()
		switch m := frame.(type) {
		case *http2.SettingsFrame:
			if v, ok := m.Value(http2.SettingInitialWindowSize); ok && int64(v) != initial {
				for id := range f.stream {
					f.stream[id] += int64(v) - initial
				}
				initial = int64(v)
			}
			if !m.IsAck() {
				_ = f.fr.WriteSettingsAck() // where it fails, reading does
			}
		case *http2.WindowUpdateFrame:
			if m.StreamID == 0 {
				f.whole += int64(m.Increment)
			} else {
				f.stream[m.StreamID] += int64(m.Increment)
			}
		case *http2.RSTStreamFrame:
			f.stream[m.StreamID] = -1 << 40
		case *http2.GoAwayFrame:
			err = io.EOF
		}
		f.ended = f.ended || err != nil
		f.mu.Unlock()
		f.room.Broadcast()
		if err != nil {
			return
		}
	}
}

// calls opens streams for a method.
func (f *flood) calls(method string) error {
	for i := range uint32(floodStreams) {
		var b bytes.Buffer
		enc := hpack.NewEncoder(&b)
		for _, h := range [][2]string{
			{":method", "POST"}, {":scheme", "https"}, {":path", method}, {":authority", "x"}, {"content-type", "application/grpc"}, {"te", "trailers"},
			{"authorization", "Bearer aaaa.bbbb.cccc"},
		} {
			if err := enc.WriteField(hpack.HeaderField{Name: h[0], Value: h[1]}); err != nil {
				return err
			}
		}
		id := 2*i + 1
		f.mu.Lock()
		f.stream[id] += 65535
		err := f.fr.WriteHeaders(http2.HeadersFrameParam{StreamID: id, BlockFragment: b.Bytes(), EndHeaders: true})
		f.mu.Unlock()
		if err != nil {
			return err
		}
	}
	return nil
}

// pour sends what there is room for, until all streams have all but their last
// byte, or there is none, or the connection ends. It gives the bytes that went out.
func (f *flood) pour() (sent int64) {
	left := map[uint32]int64{}
	for i := range uint32(floodStreams) {
		left[2*i+1] = floodBytes
	}
	frame := make([]byte, 16<<10)
	f.mu.Lock()
	defer f.mu.Unlock()
	for !f.ended && len(left) > 0 {
		moved := false
		for id, n := range left {
			size := min(int64(len(frame)), n, f.stream[id], f.whole)
			if f.stream[id] < 0 {
				delete(left, id)
			}
			if size <= 0 || f.ended {
				continue
			}
			clear(frame)
			if n == floodBytes {
				binary.BigEndian.PutUint32(frame[1:], floodBytes) // of it 5 bytes are missing
			}
			f.stream[id] -= size
			f.whole -= size
			if left[id] -= size; left[id] == 0 {
				delete(left, id)
			}
			sent += size
			if err := f.fr.WriteData(id, false, frame[:size]); err != nil {
				return sent
			}
			moved = true
		}
		if !moved && len(left) > 0 && !f.ended {
			f.room.Wait()
		}
	}
	return sent
}

// Strangers on many connections, each with many calls whose messages are as
// large as may be and never come to an end, cost a server little; whoever is of
// the farm is served meanwhile, and whoever joins it.
func TestStrangersCostLittle(t *testing.T) {
	const connections, most = 200, 300
	srv := apart(t)
	ada := openPhone(t, func(c *client.Home) error {
		f, err := c.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada", At: srv.founding})
		if err == nil {
			err = f.Away
		}
		return err
	})
	methods := []string{
		servicev1.ExchangeService_Exchange_FullMethodName, servicev1.ExchangeService_Join_FullMethodName,
		servicev1.ExchangeService_Watch_FullMethodName, "/grpc.health.v1.Health/Check",
	}
	var all, cut sync.WaitGroup
	hold := make(chan struct{})
	for n := range connections {
		cut.Add(1)
		all.Go(func() {
			f, err := openFlood(srv.addr)
			if err == nil {
				defer f.conn.Close()
				err = f.calls(methods[n%len(methods)])
			}
			if err != nil {
				t.Log(err)
				cut.Done()
				return
			}
			over := make(chan struct{})
			go func() { defer close(over); f.pour() }()
			<-over
			cut.Done()
			<-hold
		})
	}
	level(t, ada)
	joined(t, ada, "Ben", entry.Operator)
	cut.Wait()
	joined(t, ada, "Cleo", entry.Helper)
	mb := srv.peak(t)
	close(hold)
	all.Wait()
	if mb >= most && !raced {
		t.Errorf("%d connections of strangers cost the server %d MB, under %d wanted", connections, mb, most)
	}
	t.Logf("%d connections of strangers: %d MB at most", connections, mb)
}
