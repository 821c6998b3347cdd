// Package cmd_test runs the programs as their users do.
package cmd_test

import (
	"bufio"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// TestReadmeQuickStart types every command of the README's quick start, in
// order, each in the terminal that the README names, and wants both devices to
// end with the same digest.
func TestReadmeQuickStart(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("does not apply: the README's commands are for a POSIX shell")
	}
	r := newReader(t)
	for _, b := range blocks(t) {
		switch {
		case b.lang == "yaml":
			r.write("day.yaml", b.text)
		case strings.HasPrefix(b.text, "# "):
			r.play(b.text)
		}
	}
	house, tractor := r.digest("second"), r.digest("third")
	if house == "" || house != tractor {
		t.Errorf("the house ends with digest %q, the tractor with %q", house, tractor)
	}
}

// block is one fenced piece of the README.
type block struct{ lang, text string }

// blocks are the fenced pieces of the quick start.
func blocks(t *testing.T) (bs []block) {
	t.Helper()
	b, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(b), "## Quick start")
	text, _, _ = strings.Cut(text, "\n## ")
	parts := strings.Split(text, "```")
	for i := 1; i < len(parts); i += 2 {
		lang, body, _ := strings.Cut(parts[i], "\n")
		bs = append(bs, block{lang, body})
	}
	if len(bs) < 8 {
		t.Fatalf("%d blocks in the README's quick start, want all of them", len(bs))
	}
	return bs
}

// reader is somebody who follows the README, with a terminal for each device.
type reader struct {
	t       *testing.T
	home    string
	path    string
	exports map[string]string // by terminal: what was exported there
	found   string            // the server's founding address
	invite  string            // the last invite
}

func newReader(t *testing.T) *reader {
	t.Helper()
	bin := t.TempDir()
	if out, err := exec.Command("go", "build", "-o", bin+"/", "./...").CombinedOutput(); err != nil {
		t.Fatalf("the programs do not build: %v\n%s", err, out)
	}
	return &reader{
		t: t, home: t.TempDir(), exports: map[string]string{},
		path: bin + string(filepath.ListSeparator) + os.Getenv("PATH"),
	}
}

func (r *reader) write(name, text string) {
	r.t.Helper()
	if err := os.WriteFile(filepath.Join(r.home, name), []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
}

// play types the lines of one block; its first line names the terminal.
func (r *reader) play(text string) {
	r.t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	terminal := strings.Fields(lines[0])[1]
	for _, line := range lines[1:] {
		switch {
		case strings.HasPrefix(line, "export "):
			r.exports[terminal] += line + "; "
		case strings.HasPrefix(line, "turnrowd serve "):
			r.serve(line)
		default:
			r.typed(terminal, line)
		}
	}
}

// shell is a command in a terminal, with the README's placeholders filled in.
func (r *reader) shell(terminal, line string) *exec.Cmd {
	line = strings.ReplaceAll(line, "turnrow://127.0.0.1:7415/?pin=...&code=...", r.found)
	line = strings.ReplaceAll(line, "turnrow://...", r.invite)
	cmd := exec.Command("sh", "-c", r.exports[terminal]+"exec "+line)
	cmd.Dir = r.home
	cmd.Env = append(os.Environ(), "HOME="+r.home, "PATH="+r.path)
	return cmd
}

// typed runs one command and keeps what later ones need of it.
func (r *reader) typed(terminal, line string) {
	r.t.Helper()
	if strings.Contains(line, "DOUBT") {
		line = strings.ReplaceAll(line, "DOUBT", r.doubt(terminal))
	}
	if strings.HasPrefix(line, "turnrow invite ") {
		var a struct{ Invite string }
		r.asJSON(terminal, line, &a)
		r.invite = a.Invite
		return
	}
	out, err := r.shell(terminal, line).CombinedOutput()
	if err != nil {
		r.t.Fatalf("%s terminal: %s: %v\n%s", terminal, line, err, out)
	}
	r.t.Logf("%s terminal: %s\n%s", terminal, line, out)
}

// asJSON runs a command with --json and reads what it prints.
func (r *reader) asJSON(terminal, line string, into any) {
	r.t.Helper()
	cmd := r.shell(terminal, line+" --json")
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err == nil {
		err = json.Unmarshal(out, into)
	}
	if err != nil {
		r.t.Fatalf("%s terminal: %s: %v\n%s%s", terminal, line, err, out, &errs)
	}
}

// doubt is the one doubt about two settings that the quick start leads to.
func (r *reader) doubt(terminal string) string {
	r.t.Helper()
	var ds []struct{ ID, Kind string }
	r.asJSON(terminal, "turnrow doubts", &ds)
	for _, d := range ds {
		if d.Kind == "two-settings" {
			return d.ID
		}
	}
	r.t.Fatalf("no doubt about two settings among %v", ds)
	return ""
}

func (r *reader) digest(terminal string) string {
	r.t.Helper()
	var a struct{ Digest string }
	r.asJSON(terminal, "turnrow digest", &a)
	return a.Digest
}

// serve starts the server on a free port in the background, and ends it with
// the test.
func (r *reader) serve(line string) {
	r.t.Helper()
	line = strings.ReplaceAll(line, "127.0.0.1:7415", "127.0.0.1:0") + " --json"
	cmd := r.shell("first", line)
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		r.t.Fatal(err)
	}
	r.t.Cleanup(func() {
		_ = cmd.Process.Signal(syscall.SIGTERM)
		if err := cmd.Wait(); err != nil {
			r.t.Errorf("the server ends with %v\n%s", err, &errs)
		}
	})
	first, err := bufio.NewReader(out).ReadBytes('\n')
	var a struct{ Found string }
	if err == nil {
		err = json.Unmarshal(first, &a)
	}
	if err != nil {
		r.t.Fatalf("%s: %v\n%s%s", line, err, first, &errs)
	}
	r.found = a.Found
}
