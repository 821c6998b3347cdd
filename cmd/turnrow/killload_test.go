package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"turnrow/client/answer"
)

// killsUnderLoad is how many processes TestKilledUnderLoad kills.
var killsUnderLoad = flag.Int("kills", 6, "processes that TestKilledUnderLoad kills")

// loaded is a farm of four devices that write and sync all the time, each by
// commands of its own, while one process after another is killed.
type loaded struct {
	t    *testing.T
	bin  string
	dir  string
	over chan struct{} // closed when there was killing enough

	mu      sync.Mutex
	running map[string]*os.Process // what can be killed
	acked   map[string]bool        // notes that a command said it had written
	tried   int
}

func (l *loaded) turnrow(who string, args ...string) *exec.Cmd {
	return exec.Command(filepath.Join(l.bin, "turnrow"), append([]string{"--home", filepath.Join(l.dir, who), "--json"}, args...)...)
}

// run runs a command that may be killed, and gives what it printed.
func (l *loaded) run(who string, args ...string) []byte {
	cmd := l.turnrow(who, args...)
	var out bytes.Buffer
	cmd.Stdout = &out
	l.mu.Lock()
	err := cmd.Start()
	l.running[who] = cmd.Process
	l.mu.Unlock()
	if err != nil {
		l.t.Error(err)
		return nil
	}
	_ = cmd.Wait() // killed, or the server was: then it said nothing
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.running, who)
	return out.Bytes()
}

// work writes notes and syncs until it is over.
func (l *loaded) work(who string) {
	for n := 0; ; n++ {
		select {
		case <-l.over:
			return
		default:
		}
		text := fmt.Sprintf("%s's note %d", who, n)
		var said answer.Written
		ok := json.Unmarshal(l.run(who, "note", text), &said) == nil && said.Entry != ""
		l.mu.Lock()
		l.tried++
		if ok {
			l.acked[text] = true
		}
		l.mu.Unlock()
		l.run(who, "sync")
	}
}

// kill kills a command of some device, if one is running.
func (l *loaded) kill(who string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	p := l.running[who]
	return p != nil && p.Kill() == nil
}

func (l *loaded) serve(listen string) *process {
	p, err := launch(exec.Command(filepath.Join(l.bin, "turnrowd"), "serve", "--data", filepath.Join(l.dir, "srv"), "--listen", listen, "--json", "--quiet"))
	if err != nil {
		l.t.Fatal(err)
	}
	l.t.Cleanup(func() { _ = p.cmd.Process.Kill() }) // over already where the test ended it
	return p
}

// TestKilledUnderLoad kills the server and the commands of four devices in the
// middle of their work. In the end all that was acknowledged is there, once, on
// every device and on the server, all hold the same, and every chain is whole.
func TestKilledUnderLoad(t *testing.T) {
	if testing.Short() {
		t.Skip("kills real processes, which takes seconds")
	}
	l := &loaded{t: t, bin: built(t), dir: t.TempDir(), over: make(chan struct{}), running: map[string]*os.Process{}, acked: map[string]bool{}}
	srv := l.serve("127.0.0.1:0")
	var said struct{ Address, Found string }
	if err := json.Unmarshal([]byte(srv.first), &said); err != nil {
		t.Fatal(err)
	}
	object(t, l.turnrow("Ada", "found", "--farm", "Windgap", "--owner", "Ada", "--at", said.Found))
	crew := []string{"Ada", "Ben", "Cleo", "Dov"}
	for _, who := range crew[1:] {
		invite := object(t, l.turnrow("Ada", "invite", who, "--role", "operator"))
		object(t, l.turnrow("Ada", "sync"))
		object(t, l.turnrow(who, "join", fmt.Sprint(invite["invite"])))
	}
	var working sync.WaitGroup
	for _, who := range crew {
		working.Go(func() { l.work(who) })
	}
	srv = l.killAll(srv, said.Address, crew)
	close(l.over)
	working.Wait()
	l.check(srv, crew)
}

// killAll kills as many processes as are asked for, at random moments: in one
// of five turns the server, which is started anew.
func (l *loaded) killAll(srv *process, address string, crew []string) *process {
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 2))
	servers := 0
	for killed := 0; killed < *killsUnderLoad; {
		moment := time.NewTimer(time.Duration(rng.Int64N(int64(150 * time.Millisecond)))) // not to wait for something, but to hit any moment
		<-moment.C
		if rng.IntN(5) == 0 || killed == 0 {
			_ = srv.end(syscall.SIGKILL) // which Wait calls an error
			srv = l.serve(address)
			killed, servers = killed+1, servers+1
		} else if l.kill(crew[rng.IntN(len(crew))]) {
			killed++
		}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.t.Logf("seed %d: %d kills, %d of them of the server; %d of %d notes were acknowledged by then",
		seed, *killsUnderLoad, servers, len(l.acked), l.tried)
	return srv
}

func (l *loaded) check(srv *process, crew []string) {
	t := l.t
	for range 2 { // the second time brings what others brought after the first
		for _, who := range crew {
			object(t, l.turnrow(who, "sync"))
		}
	}
	var digests []string
	for _, who := range crew {
		if v := object(t, l.turnrow(who, "verify")); v["ok"] != true {
			t.Errorf("%s's record: %v", who, v)
		}
		digests = append(digests, fmt.Sprint(object(t, l.turnrow(who, "digest"))["digest"]))
		l.holds(who)
	}
	if err := srv.end(syscall.SIGTERM); err != nil {
		t.Errorf("the server ended with %v\n%s", err, srv.stderr)
	}
	theirs := object(t, exec.Command(filepath.Join(l.bin, "turnrowd"), "digest", "--data", filepath.Join(l.dir, "srv"), "--json"))
	digests = append(digests, fmt.Sprint(theirs["digest"]))
	if len(slices.Compact(digests)) != 1 {
		t.Errorf("digests %q", digests)
	}
	if len(l.acked) == 0 {
		t.Error("nothing was acknowledged")
	}
}

// holds wants every acknowledged note on a device, once.
func (l *loaded) holds(who string) {
	out, err := l.turnrow(who, "log", "--kind", "noted").Output()
	if err != nil {
		l.t.Fatal(err)
	}
	var lines []answer.Line
	if err := json.Unmarshal(out, &lines); err != nil {
		l.t.Fatal(err)
	}
	times := map[string]int{}
	for _, line := range lines {
		times[line.What]++
	}
	for text := range l.acked {
		if times[text] != 1 {
			l.t.Errorf("%s holds %q %d times", who, text, times[text])
		}
	}
}
