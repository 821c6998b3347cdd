package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// binaries are this module's programs as their users have them, built once for
// all tests.
var binaries struct {
	once sync.Once
	dir  string
	err  error
}

// built gives the folder of the binaries.
func built(t *testing.T) string {
	t.Helper()
	b := &binaries
	b.once.Do(func() {
		if b.dir, b.err = os.MkdirTemp("", "turnrow-test-"); b.err != nil {
			return
		}
		out, err := exec.Command("go", "build", "-o", b.dir, "turnrow/cmd/turnrow", "turnrow/cmd/turnrowd").CombinedOutput()
		if err != nil {
			b.err = fmt.Errorf("go build: %w\n%s", err, out)
		}
	})
	if b.err != nil {
		t.Fatal(b.err)
	}
	return b.dir
}

// process is a program that runs in the background.
type process struct {
	cmd    *exec.Cmd
	first  string      // the first line on its stdout
	lines  chan string // those after it; closed at its end
	stderr *strings.Builder
}

// launch starts a program and waits for its first line.
func launch(cmd *exec.Cmd) (*process, error) {
	p := &process{cmd: cmd, stderr: new(strings.Builder), lines: make(chan string, 1000)}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	cmd.Stderr = p.stderr
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	r := bufio.NewScanner(out)
	if !r.Scan() {
		return nil, fmt.Errorf("%s printed no line: %w\n%s", cmd, cmd.Wait(), p.stderr)
	}
	p.first = r.Text()
	go func() {
		defer close(p.lines)
		for r.Scan() {
			p.lines <- r.Text()
		}
	}()
	return p, nil
}

// end sends a signal and waits for the program's end.
func (p *process) end(sig os.Signal) error {
	if err := p.cmd.Process.Signal(sig); err != nil {
		return err
	}
	for range p.lines {
		// to its end, as Wait asks for
	}
	return p.cmd.Wait()
}

// background is the key of a script's processes.
type background struct{}

type processes struct{ running map[string]*process }

// start NAME PROGRAM ARG.. runs a program in the background. Each text in its
// first line, a JSON object, becomes a variable NAME_key.
func start(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: start NAME PROGRAM ARG..")
	}
	program, err := lookPath(ts.Getenv("PATH"), args[1])
	ts.Check(err)
	cmd := exec.Command(program, args[2:]...)
	cmd.Dir, cmd.Env = ts.MkAbs("."), []string{"TURNROW_HOME=" + ts.Getenv("TURNROW_HOME"), "HOME=" + ts.MkAbs("."), "PATH=" + ts.Getenv("PATH"), "TZ=UTC"}
	p, err := launch(cmd)
	ts.Check(err)
	ts.Value(background{}).(*processes).running[args[0]] = p
	ts.Defer(func() { _ = p.cmd.Process.Kill() }) // over already where the script stopped it
	var said map[string]any
	ts.Check(json.Unmarshal([]byte(p.first), &said))
	for key, v := range said {
		if text, ok := v.(string); ok {
			ts.Setenv(args[0]+"_"+key, text)
		}
	}
}

func lookPath(path, program string) (string, error) {
	for _, dir := range filepath.SplitList(path) {
		if file := filepath.Join(dir, program); exists(file) {
			return file, nil
		}
	}
	return "", fmt.Errorf("no program %s", program)
}

// await NAME REGEXP waits for a line that a program prints.
func await(ts *testscript.TestScript, neg bool, args []string) {
	all := ts.Value(background{}).(*processes).running
	if neg || len(args) != 2 || all[args[0]] == nil {
		ts.Fatalf("usage: await NAME REGEXP, of a program that was started")
	}
	want := regexp.MustCompile(args[1])
	for l := range all[args[0]].lines {
		if want.MatchString(l) {
			return
		}
	}
	ts.Fatalf("%s ended without a line like %s", args[0], args[1])
}

// end NAME ends a program as the system would, and wants it to end well.
func end(ts *testscript.TestScript, neg bool, args []string) {
	all := ts.Value(background{}).(*processes).running
	if neg || len(args) != 1 || all[args[0]] == nil {
		ts.Fatalf("usage: end NAME, of a program that was started")
	}
	p := all[args[0]]
	delete(all, args[0])
	if err := p.end(syscall.SIGTERM); err != nil {
		ts.Fatalf("%s ended with %v\n%s", args[0], err, p.stderr)
	}
}

// keep VAR KEY keeps what the last command answered under a key.
func keep(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: keep VAR KEY")
	}
	var said map[string]any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &said))
	v, ok := said[args[1]]
	if !ok {
		ts.Fatalf("no %s in %s", args[1], ts.ReadFile("stdout"))
	}
	ts.Setenv(args[0], fmt.Sprint(v))
}

// pick VAR FIELD KEY VALUE keeps a field of the first object of an array whose
// KEY is VALUE.
func pick(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: pick VAR FIELD KEY VALUE")
	}
	var said []map[string]any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &said))
	for _, o := range said {
		if fmt.Sprint(o[args[2]]) == args[3] {
			ts.Setenv(args[0], fmt.Sprint(o[args[1]]))
			return
		}
	}
	ts.Fatalf("nothing with %s %s", args[2], args[3])
}

// equal A B.. wants texts to be the same, and not empty.
func equal(ts *testscript.TestScript, neg bool, args []string) {
	same := args[0] != ""
	for _, a := range args {
		same = same && a == args[0]
	}
	if same == neg {
		ts.Fatalf("%q", args)
	}
}

// object runs a program and reads the object that it prints.
func object(t *testing.T, cmd *exec.Cmd) map[string]any {
	t.Helper()
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", cmd, err, &stderr)
	}
	var said map[string]any
	if err := json.Unmarshal(out, &said); err != nil {
		t.Fatalf("%s printed %s: %v", cmd, out, err)
	}
	return said
}

// alter VAR KEY VALUE changes one part of an address or invite.
func alter(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: alter VAR KEY VALUE")
	}
	u, err := url.Parse(ts.Getenv(args[0]))
	ts.Check(err)
	q := u.Query()
	if !q.Has(args[1]) {
		ts.Fatalf("%s has no %s", u, args[1])
	}
	q.Set(args[1], args[2])
	u.RawQuery = q.Encode()
	ts.Setenv(args[0], u.String())
}
