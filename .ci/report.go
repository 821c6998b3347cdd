// Report reads what go test -json says, prints each package's closing line and
// the output of each test that failed, and fails where a test was skipped for
// want of a tool: here every tool is installed.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"strings"
)

// event is one line of go test -json; see go doc test2json.
type event struct {
	Action, Package, Test, Output string
}

// notHere is how a test begins its reason to skip where no tool is missing: it
// is for another system, say, or for a user who is not root.
const notHere = "does not apply"

// report is what has been read so far.
type report struct {
	lines           map[string][]string // output of each test, by package and name
	passed, skipped int
	bad             []string
}

func main() {
	r := &report{lines: map[string][]string{}}
	in := bufio.NewScanner(os.Stdin)
	in.Buffer(nil, 16<<20)
	for in.Scan() {
		var e event
		if err := json.Unmarshal(in.Bytes(), &e); err != nil {
			fmt.Println(in.Text()) // the go command's own words
			continue
		}
		r.take(e)
	}
	if err := in.Err(); err != nil {
		r.bad = append(r.bad, err.Error())
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", r.passed, len(r.bad), r.skipped)
	if len(r.bad) > 0 {
		fmt.Println(strings.Join(r.bad, "\n"))
		os.Exit(1)
	}
}

func (r *report) take(e event) {
	name := strings.TrimSpace(e.Package + " " + e.Test)
	switch e.Action {
	case "output":
		r.output(name, e)
	case "build-output":
		fmt.Print(e.Output)
	case "build-fail":
		r.bad = append(r.bad, "does not build: "+name)
	case "fail":
		fmt.Print(strings.Join(r.lines[name], ""))
		r.bad = append(r.bad, "failed: "+name)
	case "skip":
		r.skip(name, e)
	case "pass":
		if e.Test != "" {
			r.passed++
		}
	}
}

// output keeps what a test says for the case that it fails, and shows the
// closing lines of packages.
func (r *report) output(name string, e event) {
	closing := strings.HasPrefix(e.Output, "ok ") || strings.HasPrefix(e.Output, "FAIL\t") || strings.HasPrefix(e.Output, "? ")
	if e.Test == "" && closing {
		fmt.Print(e.Output)
		return
	}
	r.lines[name] = append(r.lines[name], e.Output)
}

func (r *report) skip(name string, e event) {
	if e.Test == "" {
		return // a package without tests
	}
	r.skipped++
	if why := strings.Join(r.lines[name], ""); !strings.Contains(why, notHere) {
		r.bad = append(r.bad, "skipped: "+name+"\n"+why)
	}
}
