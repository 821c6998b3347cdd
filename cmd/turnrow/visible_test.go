package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turnrow/client"
)

// ugly is what a terminal would obey: a colour and a clearing of the screen
// (ESC), the same as one C1 character, a bidirectional override, a bell, and
// a line that looks like another entry.
const ugly = "x\x1b[31m\x1b[2J\u009b31m\u202etuo\u2066\a\x7f\u2028\rnoon"

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"wet spot, ½ ac — 3 lb/ac": "wet spot, ½ ac — 3 lb/ac",
		"a\x1b[2Jb":                `a\u001b[2Jb`,
		"a\u009b2Jb":               `a\u009b2Jb`,
		"a\x9bb":                   `a\x9bb`, // not UTF-8
		"a\u202eb\u2069":           `a\u202eb\u2069`,
		"a\nb\r\tc":                "a\\nb\\u000d\tc",
		"مرحبا":                    "مرحبا",
	} {
		if got := visible(text); got != want {
			t.Errorf("%q shows as %q, want %q", text, got, want)
		}
	}
}

// Nothing that the record holds reaches a terminal as anything but what it
// looks like, whichever command shows it; to programs it is what it was.
func TestNothingFromTheRecordIsObeyed(t *testing.T) {
	home := filepath.Join(t.TempDir(), "home")
	do := func(args ...string) (string, int) {
		var out bytes.Buffer
		g := &globals{out: &out, errs: &out}
		code := g.run(context.Background(), append([]string{"--home", home}, args...))
		return out.String(), code
	}
	must := func(args ...string) {
		t.Helper()
		if out, code := do(args...); code != 0 {
			t.Fatalf("%q: %d %s", args, code, out)
		}
	}
	name := func(s string) string { return s + ugly }
	file := filepath.Join(t.TempDir(), "day.yaml")
	quoted := func(s string) string { b, _ := json.Marshal(name(s)); return string(b) }
	text := `
drill: {name: ` + quoted("drill") + `, rows: 16, spacing: 7.5 in, counter: acres}
boxes: [{name: ` + quoted("box") + `, meter: fluted roll, dial: {from: 0, to: 100}, capacity: 12 bu}]
chart: [{box: ` + quoted("box") + `, species: oat, points: {20: 18 lb/ac, 60: 66 lb/ac}}]
ground: [{name: ` + quoted("bench") + `, area: 7.5 ac, notes: ` + quoted("wet") + `}]
lots: [{name: ` + quoted("lot") + `, species: oat, purity: 98%, germination: 90%, bag: 50 lb, price: 14.50}]
plan: [{ground: ` + quoted("bench") + `, seed: [{lot: ` + quoted("lot") + `, box: ` + quoted("box") + `, live: 30 lb/ac}]}]
checks: {version: 1, items: [` + quoted("hoses") + `]}
`
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	must("found", "--farm", name("farm"), "--owner", name("Ada"), "--device", name("phone"))
	must("set", file)
	must("hitch", "begin", "--tractor", name("blue"))
	must("hitch", "sign", "1")
	must("hitch", "hold", "--why", name("hose"))
	must("dial", name("box"), "30", "--why", name("chart"))
	must("bags", "in", name("lot"), "8", "--note", name("co-op"))
	must("fill", name("box"), "--lot", name("lot"), "--bags", "2", "--note", name("level"))
	must("note", name("rain"))
	must("invite", name("Ben"), "--role", "helper")
	for _, args := range [][]string{
		{"boxes"}, {"ground"}, {"log"}, {"doubts"}, {"hitch", "show"}, {"status"}, {"crew"}, {"plan"}, {"day"}, {"season"}, {"lot", name("lot")},
		{"why", "box:" + name("box")}, {"why", "hitch"}, {"verify"}, {"digest"}, {"calendar"}, {"note", name("again")},
		{"day", "--out", "-", "--format", "json"},
	} {
		out, _ := do(args...)
		if strings.Contains(strings.ReplaceAll(out, "\n", ""), "\x1b") || strings.ContainsFunc(strings.ReplaceAll(out, "\n", ""), obeyed) {
			t.Errorf("%q lets through %q", args, out)
		}
		if out, code := do(append(args, "--json")...); code == 0 && (!json.Valid([]byte(out)) || strings.ContainsFunc(strings.ReplaceAll(out, "\n", ""), obeyed)) {
			t.Errorf("%q --json lets through %q", args, out)
		}
	}
	// A document goes out as it is, unless a person at a terminal would see it.
	c, err := client.Open(home, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, format := range []string{"csv", "html"} {
		for _, terminal := range []bool{true, false} {
			var out bytes.Buffer
			g := &globals{out: &out, errs: &out, place: place{held: c, terminal: terminal}}
			code := g.run(context.Background(), []string{"day", "--out", "-", "--format", format})
			if bad := strings.ContainsFunc(strings.ReplaceAll(out.String(), "\n", ""), obeyed); code != 0 || bad == terminal {
				t.Errorf("%s, at a terminal %t: %d, lets through %t", format, terminal, code, bad)
			}
		}
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	// What refuses names what it was given, on one line.
	for _, args := range [][]string{
		{"fill", name("no"), "--lot", "x", "--bags", "1"}, {"fill", "box", "--lot", name("lot"), "--bags", "1"}, {"log", "--kind", ugly},
		{"hitch", "sign", ugly}, {ugly}, {"--as", ugly, "note", "x"}, {"note", "x", "--about", ugly}, {"crew", "role", ugly, "helper"},
	} {
		out, code := do(args...)
		if code == 0 || strings.Count(out, "\n") != 1 || strings.ContainsFunc(strings.TrimSuffix(out, "\n"), obeyed) {
			t.Errorf("%q: %d %q", args, code, out)
		}
	}
	var notes []lineAnswer
	out, _ := do("log", "--kind", "noted", "--json")
	if err := json.Unmarshal([]byte(out), &notes); err != nil || len(notes) == 0 || notes[0].What != name("rain") {
		t.Errorf("to programs a note is %+v, %v", notes, err)
	}
}
