package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"turnrow/client"
)

// holder founds a farm in a home, and keeps its door open.
func holder(t *testing.T, home string) *client.Farm {
	t.Helper()
	h, err := client.Open(home, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { h.Close() })
	f, err := h.Found(t.Context(), client.FoundOptions{Farm: "Windgap", Owner: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	g := &globals{home: home, errs: os.Stderr}
	done, err := g.openDoor(t.Context(), h)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(done)
	return f.Farm
}

// Commands from many callers at once all go through the door, and the holder
// sees what they wrote; a home whose path is too long for a socket is no
// different.
func TestDoorServesManyAtOnce(t *testing.T) {
	for name, home := range map[string]string{
		"short": filepath.Join(t.TempDir(), "h"),
		"long":  filepath.Join(t.TempDir(), strings.Repeat("far-away/", 14), "home"),
	} {
		t.Run(name, func(t *testing.T) {
			c := holder(t, home)
			const callers = 20
			var calls sync.WaitGroup
			for i := range callers {
				calls.Go(func() {
					var out, errs bytes.Buffer
					if code := run([]string{"--home", home, "note", fmt.Sprint("note ", i), "--json"}, &out, &errs); code != 0 || !strings.HasPrefix(out.String(), `{"entry":"`) {
						t.Errorf("exit code %d: %s%s", code, &out, &errs)
					}
				})
			}
			calls.Wait()
			if n := c.View().Entries; n != callers+1 {
				t.Errorf("the holder sees %d entries, want %d", n, callers+1)
			}
		})
	}
}

// What a command prints on stderr and how it ends come through the door too.
func TestDoorKeepsExitCodes(t *testing.T) {
	home := t.TempDir()
	holder(t, home)
	for _, c := range []struct {
		want int
		says string
		args []string
	}{
		{exitFailed, `turnrow: unknown box "grain"; there are no boxes yet`, []string{"drain", "grain", "--all"}},
		{exitWrong, `turnrow: one of --mass, --all is missing, for example: turnrow drain grain --all --mass "18 lb" --where "back into the bag"`, []string{"drain", "grain"}},
	} {
		var out, errs bytes.Buffer
		if code := run(append(c.args, "--home", home), &out, &errs); code != c.want || strings.TrimSpace(errs.String()) != c.says || out.Len() > 0 {
			t.Errorf("%v: exit code %d, stdout %q, stderr %q", c.args, code, &out, &errs)
		}
	}
}

// What is asked comes through the door to whoever called, and the answer goes
// back through it: a person at the terminal chooses, a program gets exit code 3.
func TestDoorAsks(t *testing.T) {
	home := t.TempDir()
	c := holder(t, home)
	if code := run([]string{"set", "../../testdata/unlikely/day.yaml", "--home", home}, io.Discard, os.Stderr); code != 0 {
		t.Fatalf("exit code %d", code)
	}
	catch := strings.Fields("catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 1740g --home " + home)
	before := c.View().Entries

	var out, errs bytes.Buffer
	if code := run(append(catch, "--json"), &out, &errs); code != exitAsks || !strings.HasPrefix(out.String(), `{"ask":[{"kind":"unlikely-catch"`) {
		t.Errorf("a program got exit code %d and %s", code, &out)
	}
	for _, a := range []struct {
		types string // the person
		code  int
		wrote []string
	}{
		{"\n", exitAsks, nil},
		{"", exitAsks, nil},
		{"7\nno\n", exitAsks, nil},
		{"2\n", 0, []string{"caught 174 g"}},
		{"1\n", 0, []string{"caught 1,740 g", "settled \"an unlikely catch\": as written"}},
	} {
		g := &globals{out: io.Discard, errs: io.Discard, asked: asked{person: strings.NewReader(a.types)}}
		if code := g.run(t.Context(), catch); code != a.code {
			t.Errorf("%q: exit code %d, want %d", a.types, code, a.code)
		}
		lines := c.Lines()[before:]
		if len(lines) != len(a.wrote) {
			t.Fatalf("%q wrote %d entries, want %d", a.types, len(lines), len(a.wrote))
		}
		for i, l := range lines {
			if !strings.HasPrefix(l.What, a.wrote[i]) {
				t.Errorf("%q wrote %q, want %q", a.types, l.What, a.wrote[i])
			}
		}
		before = c.View().Entries
	}
}

// A caller that hangs up calls its command off: here one that would run until
// it is told to stop.
func TestHangingUpStopsTheCommand(t *testing.T) {
	home := t.TempDir()
	holder(t, home)
	ctx, hangUp := context.WithCancel(t.Context())
	out := &firstWrite{after: hangUp}
	g := &globals{out: out, errs: io.Discard}
	_ = g.run(ctx, []string{"--home", home, "meet", "--listen", "127.0.0.1:0"}) // ends, which is what is under test
	if !strings.HasPrefix(out.String(), "Meeting at ") {
		t.Errorf("printed %q", out)
	}
}

type firstWrite struct {
	bytes.Buffer
	after func()
}

func (f *firstWrite) Write(p []byte) (int, error) {
	defer f.after()
	return f.Buffer.Write(p)
}

func TestDoorIsForItsOwnerAlone(t *testing.T) {
	home := t.TempDir()
	holder(t, home)
	info, err := os.Stat(filepath.Join(home, doorName))
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode()&os.ModeSocket == 0 || info.Mode().Perm() != 0o600 {
		t.Errorf("the door has mode %v, want a socket of mode 0600", info.Mode())
	}
}
