package main

import (
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// turnrow is a call of the program on a home.
func turnrow(t *testing.T, home string, args ...string) *exec.Cmd {
	t.Helper()
	return exec.Command(filepath.Join(built(t), "turnrow"), append([]string{"--home", home}, args...)...)
}

// startPage starts the page of a home, and gives where it is.
func startPage(t *testing.T, home string, args ...string) (*process, string) {
	t.Helper()
	p, err := launch(turnrow(t, home, append([]string{"page", "--json"}, args...)...))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.cmd.Process.Kill() })
	var said struct{ Address string }
	if err := json.Unmarshal([]byte(p.first), &said); err != nil {
		t.Fatalf("first line %q: %v", p.first, err)
	}
	return p, said.Address
}

func foundHome(t *testing.T) string {
	t.Helper()
	home := t.TempDir()
	if out, err := turnrow(t, home, "found", "--farm", "Upper Lea", "--owner", "Ada").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return home
}

func fetch(t *testing.T, web *http.Client, address string) (int, string) {
	t.Helper()
	resp, err := web.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

// The page shows what other commands write on its home meanwhile, and ends
// cleanly when told to.
func TestPageBesideCommands(t *testing.T) {
	home := foundHome(t)
	p, address := startPage(t, home)
	if out, err := turnrow(t, home, "note", "gate is open").CombinedOutput(); err != nil {
		t.Fatalf("a note beside the page: %v\n%s", err, out)
	}
	code, body := fetch(t, http.DefaultClient, address+"log")
	if code != http.StatusOK || !strings.Contains(body, "gate is open") {
		t.Errorf("the page answers %d, without the note", code)
	}
	if err := p.end(syscall.SIGTERM); err != nil {
		t.Errorf("ended with %v\n%s", err, p.stderr)
	}
}

// The page is at one address each time; where that is taken, it is at another,
// and says so.
func TestPageKeepsItsAddress(t *testing.T) {
	l, err := net.Listen("tcp", pageAddress)
	if err == nil { // else another program has it
		defer l.Close()
	}
	p, address := startPage(t, foundHome(t))
	if strings.Contains(address, pageAddress) {
		t.Errorf("the page is at %s, where another program listens", address)
	}
	if code, _ := fetch(t, http.DefaultClient, address); code != http.StatusOK {
		t.Errorf("there it answers %d", code)
	}
	if err := p.end(syscall.SIGTERM); err != nil || !strings.Contains(p.stderr.String(), "another program listens at "+pageAddress) {
		t.Errorf("ended with %v, and does not say why it is elsewhere:\n%s", err, p.stderr)
	}
	if l == nil {
		return
	}
	l.Close()
	if _, address := startPage(t, foundHome(t)); address != "http://"+pageAddress+"/" {
		t.Errorf("the page is at %s", address)
	}
}

// A page that others could reach has to be asked for, and shows nothing
// without the key in its address.
func TestPageForOthers(t *testing.T) {
	home := foundHome(t)
	out, err := turnrow(t, home, "page", "--listen", "0.0.0.0:0").CombinedOutput()
	if exit, ok := err.(*exec.ExitError); !ok || exit.ExitCode() != exitWrong || !strings.Contains(string(out), "--reachable") {
		t.Errorf("listened to all: %v\n%s", err, out)
	}
	_, address := startPage(t, home, "--listen", "0.0.0.0:0", "--reachable")
	u, err := url.Parse(address)
	if err != nil || u.Query().Get("key") == "" {
		t.Fatalf("the address %q: %v", address, err)
	}
	near := "http://127.0.0.1:" + u.Port() + "/"
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	web := &http.Client{Jar: jar}
	if code, _ := fetch(t, web, near); code != http.StatusForbidden {
		t.Errorf("without the key: %d", code)
	}
	if code, _ := fetch(t, web, near+"?"+u.RawQuery); code != http.StatusOK {
		t.Errorf("with the key: %d", code)
	}
}
