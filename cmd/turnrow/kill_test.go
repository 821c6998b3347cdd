package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/logstore"
)

// kills is how often each program is killed in the middle of its writes.
const kills = 10

// killed is a farm whose programs are killed: real processes, each on a home or
// a data folder of its own.
type killed struct {
	t     *testing.T
	bin   string
	dir   string
	rng   *rand.Rand
	texts int
	acked []string      // notes that a program said it had written
	usual time.Duration // what a note took last, left alone
}

func newKilled(t *testing.T) *killed {
	if testing.Short() {
		t.Skip("kills real processes, which takes seconds")
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	k := &killed{t: t, bin: built(t), dir: t.TempDir(), rng: rand.New(rand.NewPCG(seed, 1))}
	return k
}

func (k *killed) turnrow(args ...string) *exec.Cmd {
	return exec.Command(filepath.Join(k.bin, "turnrow"), append([]string{"--home", filepath.Join(k.dir, "home"), "--json"}, args...)...)
}

func (k *killed) serve(listen string) *process {
	p, err := launch(exec.Command(filepath.Join(k.bin, "turnrowd"), "serve", "--data", k.data(), "--listen", listen, "--json", "--quiet"))
	if err != nil {
		k.t.Fatal(err)
	}
	k.t.Cleanup(func() { _ = p.cmd.Process.Kill() }) // over already where the test ended it
	return p
}

func (k *killed) data() string { return filepath.Join(k.dir, "srv") }

// note writes the next note, and keeps its text where the program said that it
// was written. The program may be killed while it runs.
func (k *killed) note(after time.Duration) {
	k.texts++
	text := fmt.Sprintf("note %d", k.texts)
	cmd := k.turnrow("note", text)
	out := new(strings.Builder)
	cmd.Stdout = out
	if err := cmd.Start(); err != nil {
		k.t.Fatal(err)
	}
	if after > 0 {
		defer time.AfterFunc(after, func() { _ = cmd.Process.Kill() }).Stop()
	}
	begun := time.Now()
	_ = cmd.Wait() // killed, or refused by one that was: then it said nothing
	if after == 0 {
		k.usual = time.Since(begun)
	}
	var said answer.Written
	if json.Unmarshal([]byte(out.String()), &said) == nil && said.Entry != "" {
		k.acked = append(k.acked, text)
	}
}

// moment is a random part of the time that a program takes for a note.
func (k *killed) moment() time.Duration {
	return time.Duration(1 + k.rng.Int64N(int64(k.usual)+1))
}

// check wants every note that was acknowledged to be there once, and the record
// to be whole.
func (k *killed) check() {
	k.t.Helper()
	out, err := k.turnrow("log", "--kind", "noted").Output()
	if err != nil {
		k.t.Fatalf("log: %v", err)
	}
	var lines []answer.Line
	if err := json.Unmarshal(out, &lines); err != nil {
		k.t.Fatal(err)
	}
	times := map[string]int{}
	for _, l := range lines {
		times[l.What]++
	}
	for _, text := range k.acked {
		if times[text] != 1 {
			k.t.Errorf("%q was acknowledged and is there %d times", text, times[text])
		}
	}
	if v := object(k.t, k.turnrow("verify")); v["ok"] != true {
		k.t.Errorf("verify says %v", v)
	}
}

// TestKilledClientLosesNothing kills turnrow in the middle of a loop of writes:
// the command that writes, or in every other round the one that holds the home
// and writes for others.
func TestKilledClientLosesNothing(t *testing.T) {
	k := newKilled(t)
	object(t, k.turnrow("found", "--farm", "Windgap", "--owner", "Ada"))
	const most = 10 * kills // chance may spare every writer for a while
	for round := 0; round < kills || len(k.acked) == k.texts && round < most; round++ {
		k.note(0)
		if round%2 == 0 {
			k.note(k.moment())
		} else {
			k.killHolder()
		}
		k.check()
	}
	t.Logf("%d of %d notes were acknowledged", len(k.acked), k.texts)
	if len(k.acked) < kills || len(k.acked) == k.texts {
		t.Errorf("%d of %d notes acknowledged: the kills came at no time that matters", len(k.acked), k.texts)
	}
}

// killHolder lets notes go through the program that holds the home, until it
// is killed.
func (k *killed) killHolder() {
	p, err := launch(k.turnrow("meet", "--listen", "127.0.0.1:0"))
	if err != nil {
		k.t.Fatal(err)
	}
	over := make(chan error, 1)
	time.AfterFunc(k.moment(), func() { over <- p.end(syscall.SIGKILL) })
	for {
		select {
		case <-over: // killed, which Wait calls an error
			return
		default:
			k.note(0)
		}
	}
}

// TestKilledServerLosesNothing kills turnrowd while a device syncs what it
// writes. What the device was told is stored there is there, and the record on
// both sides is whole; after the last round both hold the same.
func TestKilledServerLosesNothing(t *testing.T) {
	k := newKilled(t)
	srv := k.serve("127.0.0.1:0")
	var said struct{ Address, Found string }
	if err := json.Unmarshal([]byte(srv.first), &said); err != nil {
		t.Fatal(err)
	}
	farm := object(t, k.turnrow("found", "--farm", "Windgap", "--owner", "Ada", "--at", said.Found))
	k.note(0)
	object(t, k.turnrow("sync"))
	stored := 2.0 // the founding entry and a note
	for range kills {
		over := make(chan error, 1)
		time.AfterFunc(k.moment()*2, func() { over <- srv.end(syscall.SIGKILL) })
		for dead := false; !dead; {
			k.note(0)
			if s := object(t, k.turnrow("sync")); s["away"] == false {
				stored = float64(len(k.acked)) + 1 // and the founding entry
			}
			select {
			case <-over:
				dead = true
			default:
			}
		}
		if n := k.verifyServer(fmt.Sprint(farm["farm"])); float64(n) < stored {
			t.Errorf("the server holds %d entries, and had acknowledged %v", n, stored)
		}
		srv = k.serve(said.Address)
	}
	object(t, k.turnrow("sync"))
	k.check()
	t.Logf("%v of %d entries were acknowledged before the last kill", stored, k.texts+1)
	ours := object(t, k.turnrow("digest"))
	if err := srv.end(syscall.SIGTERM); err != nil {
		t.Errorf("the server ended with %v\n%s", err, srv.stderr)
	}
	theirs := object(t, exec.Command(filepath.Join(k.bin, "turnrowd"), "digest", "--data", k.data(), "--json"))
	if ours["digest"] != theirs["digest"] || len(k.acked) != k.texts {
		t.Errorf("the device's digest is %v, the server's %v; %d of %d notes", ours, theirs, len(k.acked), k.texts)
	}
}

// verifyServer checks the record in a dead server's store, and counts it.
func (k *killed) verifyServer(farm string) uint64 {
	k.t.Helper()
	id, err := entry.ParseFarm(farm)
	if err != nil {
		k.t.Fatal(err)
	}
	s, err := logstore.Open(filepath.Join(k.data(), "store"), logstore.Options{})
	if err != nil {
		k.t.Fatal(err)
	}
	defer s.Close()
	l, err := s.Farm(id)
	if err != nil {
		k.t.Fatal(err)
	}
	r, err := l.Verify(nil)
	if err != nil || len(r.Faults) > 0 {
		k.t.Errorf("after the kill the server's store has faults %v (%v)", r.Faults, err)
	}
	return r.Entries
}
