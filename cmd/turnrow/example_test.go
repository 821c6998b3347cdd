package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"turnrow/client/answer"
)

const exampleFarm = `
drill: {name: borrowed drill, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
boxes:
  - {name: grain, meter: fluted roll, dial: {from: 0, to: 100}, capacity: 12 bu}
  - {name: legume, dial: {from: 0, to: 60}, capacity: 3 bu, sides: [left, right], rows_fed: [8, 8], own_dials: true}
  - {name: grass, dial: {marks: ["1-1", "1-2", "2-1"]}}
chart:
  - {box: grain, species: oat, points: {20: 18 lb/ac, 40: 41 lb/ac, 60: 66 lb/ac}}
  - {box: legume, species: red clover, points: {10: 4 lb/ac, 20: 9 lb/ac, 30: 14 lb/ac}}
ground:
  - {name: bench, area: 7.1 ac}
lots:
  - {name: O-1, species: oat, purity: 98%, germination: 90%, bag: 50 lb, price: 14.50}
  - {name: C-7, species: red clover, purity: 99%, germination: 85%, bag: 50 lb}
  - {name: R-7, species: red clover, purity: 99%, germination: 85%, bag: 50 lb}
plan:
  - ground: bench
    seed: [{lot: O-1, box: grain, live: 30 lb/ac}, {lot: C-7, box: legume, live: 6 lb/ac}]
checks:
  version: 1
  items: [{name: engine off and key out, required: true}, {name: hoses tied clear, required: true}]
`

const exampleGround = `{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":
[[[-80.001,40.001],[-80.001,40.003],[-79.999,40.003],[-79.999,40.001],[-80.001,40.001]]]}}`

// examplesApart are the examples that this test does not run, by how they
// begin, and why.
var examplesApart = map[string]string{
	"turnrow at ": "wants a server: TestScripts/at",
	"turnrow found --farm Windgap --owner Ada --at ": "wants a server: TestScripts/server",
	"turnrow join ":                      "wants a server or a device that meets: TestScripts/day_meet",
	"turnrow sync":                       "wants a server or a device that meets: TestScripts/day_meet",
	"turnrow meet":                       "serves until it is ended: TestScripts/day_meet",
	"turnrow page":                       "serves until it is ended: page_test.go",
	"turnrow demo":                       "plays a whole day: TestScripts/demo",
	"turnrow bench":                      "measures this machine: package client/bench",
	"turnrow crew admit ":                "wants a device that waits: TestScripts/waits",
	"turnrow crew refuse ":               "wants a device that waits: TestScripts/waits",
	"turnrow recover ":                   "wants a code on paper: client.TestTheCodeOnPaper...",
	"turnrow stop ":                      "wants a second device: TestScripts/trust",
	"turnrow take-in ":                   "wants a second device: TestScripts/take_in",
	"turnrow settle 3f2a9c11 ":           "a doubt's number is of its own record: TestScripts/doubts",
	"turnrow settle double-entry ":       "wants a second device: TestScripts/doubts",
	"turnrow day --date ":                "wants a record with that day: TestScripts/papers",
	"turnrow season --from ":             "wants a record with those days: TestScripts/papers",
	"mail ":                              "is another's program",
	"turnrow --home /tmp/windgap/house ": "follows the demo",
}

// examplesAfter is what a command's examples follow, beside a day that has
// begun.
var examplesAfter = map[string][]string{
	"turnrow carry in":      {"turnrow carry out windgap.carry"},
	"turnrow hitch sign":    {"turnrow hitch begin"},
	"turnrow hitch release": {`turnrow hitch hold --why "hose pinched"`},
	"turnrow hitch seen":    {`turnrow hitch hold --why "hose pinched"`},
	"turnrow hitch unhitch": {"turnrow hitch begin"},
	"turnrow bring going":   {"turnrow bring ask O-1 --bags 2 --box grain"},
	"turnrow bring there":   {"turnrow bring ask O-1 --bags 2 --box grain"},
	"turnrow bring again":   {"turnrow bring ask O-1 --bags 2 --box grain", "turnrow bring going"},
	"turnrow restore":       {"turnrow backup windgap-2026-09-14.turnrow"},
	"turnrow verify":        {"turnrow audit windgap.jsonl"},
	"turnrow drain":         {"turnrow dial grain 40 --why chart", "turnrow meter 120 --begin --ground bench", "turnrow meter 122.6 --ground bench"},
	"turnrow finish":        {"turnrow meter 123.4 --begin --ground bench", "turnrow meter 130 --ground bench"},
	"turnrow settle": {"turnrow meter 220 --ground bench --yes",
		"turnrow catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 1240g --yes"},
	"turnrow fill": {`turnrow weigh C-7 --volume "1 cup" --mass 183g`},
}

// examples runs the examples in help texts, each command's in a farm of its own.
type examples struct {
	*testing.T
	home    string
	entries map[string]string // in place of those that the texts name
}

// Every command shows how it is called, and each call that it shows works.
func TestEveryExampleRuns(t *testing.T) {
	var visit func(*cobra.Command)
	visit = func(c *cobra.Command) {
		if !c.HasSubCommands() && c.Example == "" && !c.Hidden && !c.Parent().Hidden && c.Parent().Name() != "bench" {
			t.Errorf("%s has no example", c.CommandPath())
		}
		if c.Example != "" {
			t.Run(c.CommandPath(), func(t *testing.T) { runExamples(t, c) })
		}
		for _, sub := range c.Commands() {
			visit(sub)
		}
	}
	visit(newRoot(&globals{out: &bytes.Buffer{}, errs: &bytes.Buffer{}}))
}

func runExamples(t *testing.T, c *cobra.Command) {
	e := &examples{T: t, home: filepath.Join(t.TempDir(), "home"), entries: map[string]string{}}
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{"windgap.yaml": exampleFarm, "bench.geojson": exampleGround} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if c.Parent().Name() != "rate" && c.Name() != "found" {
		e.begin(c)
	}
	text := strings.ReplaceAll(c.Example, "\\\n", " ")
	for _, line := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' }) {
		if c.Name() == "found" {
			e.home = filepath.Join(t.TempDir(), "home")
		}
		for _, part := range strings.FieldsFunc(strings.ReplaceAll(line, " && ", "|"), func(r rune) bool { return r == '|' }) {
			e.example(strings.TrimSpace(part))
		}
	}
}

// begin founds the farm and begins a day, up to what a command's examples
// follow.
func (e *examples) begin(c *cobra.Command) {
	for _, line := range []string{"turnrow found --farm Windgap --owner Ada", "turnrow set windgap.yaml", "turnrow invite Ben --role operator", "turnrow invite Cal --role helper"} {
		e.must(line)
	}
	for named, line := range map[string]string{
		"4f2a1c/12": "turnrow fill grain --lot O-1 --bags 2.5 --json", "4f2a1c/15": `turnrow note "rows 6 and 7 plugged" --json`,
		"4f2a1c/17": "turnrow spot note stone --ground bench --json"} {
		var a answer.Written
		if err := json.Unmarshal([]byte(e.must(line)), &a); err != nil {
			e.Fatal(err)
		}
		e.entries[named] = a.Entry
	}
	if c.Name() == "amend" {
		var a answer.Written
		e.must("turnrow meter 120 --begin --ground bench")
		if err := json.Unmarshal([]byte(e.must("turnrow meter 123 --ground bench --json")), &a); err != nil {
			e.Fatal(err)
		}
		e.entries["4f2a1c/14"] = a.Entry
	}
	for _, line := range examplesAfter[c.CommandPath()] {
		e.must(line)
	}
}

func (e *examples) example(line string) {
	for begins := range examplesApart {
		if strings.HasPrefix(line+" ", begins) {
			return
		}
	}
	e.must(line)
}

// must runs a line, and wants it to work and to say nothing of a doubt.
func (e *examples) must(line string) string {
	var out, errs bytes.Buffer
	args := shellWords(line)
	for i, w := range args {
		if id, ok := e.entries[w]; ok {
			args[i] = id
		}
		args[i] = strings.Replace(args[i], "~/", e.TempDir()+"/", 1)
	}
	if args[0] != "turnrow" {
		e.Errorf("%q is no call of turnrow", line)
		return ""
	}
	g := &globals{out: &out, errs: &errs}
	if !strings.Contains(line, "--home") {
		e.Setenv("TURNROW_HOME", e.home)
	}
	if code := g.run(e.Context(), args[1:]); code != 0 {
		e.Errorf("%s: exit code %d, %s%s", line, code, errs.String(), out.String())
	}
	return out.String()
}

// shellWords parts a line as a shell does that knows double quotes alone.
func shellWords(line string) (words []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
			continue
		}
		words = append(words, strings.Fields(part)...)
	}
	return words
}
