package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets scripts call turnrow: the test's own binary stands in for it,
// so that scripts run what was just compiled.
func TestMain(m *testing.M) {
	testscript.Main(cleaning{m}, map[string]func(){
		"turnrow": main,
	})
}

// cleaning runs the tests, and then removes what was built for them.
type cleaning struct{ m *testing.M }

func (c cleaning) Run() int {
	defer func() { _ = os.RemoveAll(binaries.dir) }()
	return c.m.Run()
}

// TestScripts runs the command scripts of testdata/script, each in a folder of
// its own with a home of its own. The server is turnrowd's real binary.
func TestScripts(t *testing.T) {
	bin := built(t)
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("TURNROW_HOME", filepath.Join(e.WorkDir, "home"))
			e.Setenv("TZ", "UTC")
			e.Setenv("PATH", e.Getenv("PATH")+string(filepath.ListSeparator)+bin)
			e.Values[background{}] = &processes{running: map[string]*process{}}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"wrong": wrong, "asks": asks, "start": start, "end": end, "keep": keep, "equal": equal, "alter": alter, "pick": pick, "await": await,
		},
	})
}

// asks runs turnrow and wants a question that nobody answers: exit code 3, and
// one line on stderr.
func asks(ts *testscript.TestScript, neg bool, args []string) {
	err := ts.Exec("turnrow", args...)
	var exit *exec.ExitError
	switch {
	case neg:
		ts.Fatalf("asks takes no !")
	case !errors.As(err, &exit) || exit.ExitCode() != exitAsks:
		ts.Fatalf("turnrow %s: %v, want exit code %d", strings.Join(args, " "), err, exitAsks)
	case strings.Count(ts.ReadFile("stderr"), "\n") != 1:
		ts.Fatalf("turnrow %s printed other than one line on stderr", strings.Join(args, " "))
	}
}

// wrong runs turnrow and wants it to refuse the call: exit code 2, nothing on
// stdout and one line on stderr.
func wrong(ts *testscript.TestScript, neg bool, args []string) {
	err := ts.Exec("turnrow", args...)
	var exit *exec.ExitError
	switch {
	case neg:
		ts.Fatalf("wrong takes no !")
	case !errors.As(err, &exit) || exit.ExitCode() != exitWrong:
		ts.Fatalf("turnrow %s: %v, want exit code %d", strings.Join(args, " "), err, exitWrong)
	case ts.ReadFile("stdout") != "":
		ts.Fatalf("turnrow %s printed on stdout", strings.Join(args, " "))
	case strings.Count(ts.ReadFile("stderr"), "\n") != 1:
		ts.Fatalf("turnrow %s printed other than one line on stderr", strings.Join(args, " "))
	}
}
