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
	"turnrow/client/answer"
	"turnrow/client/safetext"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// A hold's reason cannot hide that the drill is not ready, nor say that it is.
func TestAHoldCannotHideNotReady(t *testing.T) {
	home := filepath.Join(t.TempDir(), "home")
	do := func(args ...string) string {
		t.Helper()
		var out bytes.Buffer
		if code := (&globals{out: &out, errs: &out}).run(context.Background(), append([]string{"--home", home}, args...)); code != 0 {
			t.Fatalf("%q: %d %s", args, code, &out)
		}
		return out.String()
	}
	do("found", "--farm", "Windgap", "--owner", "Ada")
	drill := filepath.Join(t.TempDir(), "drill.yaml")
	if err := os.WriteFile(drill, []byte("drill: {name: drill, rows: 16}\nchecks: {items: [hoses]}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	do("set", drill)
	do("hitch", "begin")
	do("hitch", "sign", "1")
	// up, to the line's beginning, over what stands there, and what follows unseen
	changedClient(t, home, &entry.HoldRaised{Why: "\x1b[1F\x1b[2KREADY: every required check is signed and no hold is open\x1b[8m"})
	lines := strings.Split(strings.TrimSpace(do("hitch", "show")), "\n")
	if last := lines[len(lines)-1]; last != "NOT READY" {
		t.Errorf("the last line is %q", last)
	}
	for _, l := range lines {
		if strings.HasPrefix(l, "READY") || strings.ContainsFunc(l, safetext.Obeyed) {
			t.Errorf("hitch show prints %q", l)
		}
	}
}

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
	if err := os.WriteFile(file, []byte(`
drill: {name: drill, rows: 16, spacing: 7.5 in, counter: acres}
boxes: [{name: box, meter: fluted roll, dial: {from: 0, to: 100}, capacity: 12 bu}]
chart: [{box: box, species: oat, points: {20: 18 lb/ac, 60: 66 lb/ac}}]
ground: [{name: bench, area: 7.5 ac}]
lots: [{name: lot, species: oat, purity: 98%, germination: 90%, bag: 50 lb, price: 14.50}]
plan: [{ground: bench, seed: [{lot: lot, box: box, live: 30 lb/ac}]}]
`), 0o600); err != nil {
		t.Fatal(err)
	}
	must("found", "--farm", "Windgap", "--owner", "Ada", "--device", "phone")
	must("set", file)
	must("bags", "in", "lot", "8")
	must("fill", "box", "--lot", "lot", "--bags", "2")
	must("invite", "Ben", "--role", "helper")
	var v *farm.View
	if err := (&globals{home: home}).withHome(context.Background(), false, func(h *client.Home) error {
		f, err := h.Farm()
		if err == nil {
			v = f.View()
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	drill, box, ground, lot := v.Drills[0].ID, v.Boxes[0].ID, v.Grounds[0].ID, v.Lots[0].ID
	text := func(s string) entry.Opt[string] { return entry.Some(name(s)) }
	next := func(n uint64) entry.ID { return entry.ID{Log: drill.Log, Seq: uint64(v.Entries) + n} }
	changedClient(t, home,
		&entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: name("hoses"), Required: true}}},
		&entry.HitchBegun{Checks: next(1), Drill: drill, Tractor: name("blue")},
		&entry.ItemSigned{Hitch: next(2), Item: 1},
		&entry.HoldRaised{Drill: drill, Why: name("hose")},
		&entry.DialMoved{Box: box, To: 3000, Why: name("chart")},
		&entry.Noted{Text: name("rain")},
		&entry.DrillSet{Drill: drill, Name: text("drill")}, &entry.BoxSet{Box: box, Name: text("box")},
		&entry.GroundSet{Ground: ground, Name: text("bench"), Notes: text("wet")},
		&entry.LotSet{Lot: lot, Name: text("lot"), Species: text("oat"), Variety: text("tall"), Inoculant: text("yes")},
		&entry.MemberAdded{Name: name("Ben"), Role: entry.Helper}, &entry.MemberChanged{Member: v.Crew[0].ID, Name: text("Ada")})
	for _, args := range [][]string{
		{"boxes"}, {"ground"}, {"log"}, {"doubts"}, {"hitch", "show"}, {"status"}, {"crew"}, {"plan"}, {"day"}, {"season"}, {"lot", name("lot")},
		{"why", "box:" + name("box")}, {"why", "hitch"}, {"verify"}, {"digest"}, {"calendar"}, {"note", "again"},
		{"day", "--out", "-", "--format", "json"},
	} {
		out, _ := do(args...)
		if strings.Contains(strings.ReplaceAll(out, "\n", ""), "\x1b") || strings.ContainsFunc(strings.ReplaceAll(out, "\n", ""), safetext.Obeyed) {
			t.Errorf("%q lets through %q", args, out)
		}
		if out, code := do(append(args, "--json")...); code == 0 && (!json.Valid([]byte(out)) || strings.ContainsFunc(strings.ReplaceAll(out, "\n", ""), safetext.Obeyed)) {
			t.Errorf("%q --json lets through %q", args, out)
		}
	}
	c, err := client.Open(home, client.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, format := range []string{"csv", "html", "pdf", "json"} {
		for _, terminal := range []bool{true, false} {
			var out bytes.Buffer
			g := &globals{out: &out, errs: &out, place: place{held: c, terminal: terminal}}
			code := g.run(context.Background(), []string{"day", "--out", "-", "--format", format})
			text := strings.NewReplacer("\r\n", "", "\n", "", "\ufeff", "").Replace(out.String())
			if format == "pdf" {
				text = "" // its text is packed: client/sheet looks at it
			}
			if code != 0 || strings.ContainsFunc(text, safetext.Obeyed) {
				t.Errorf("%s, at a terminal %t: %d, lets through %q", format, terminal, code, text)
			}
		}
	}
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	refusesOnOneLine(t, do)
	var notes []answer.Line
	out, _ := do("log", "--kind", "noted", "--json")
	if err := json.Unmarshal([]byte(out), &notes); err != nil || len(notes) == 0 || notes[0].What != name("rain") {
		t.Errorf("to programs a note is %+v, %v", notes, err)
	}
}

// refusesOnOneLine says that what refuses names what it was given, on one line.
func refusesOnOneLine(t *testing.T, do func(...string) (string, int)) {
	t.Helper()
	name := func(s string) string { return s + ugly }
	for _, args := range [][]string{
		{"fill", name("no"), "--lot", "x", "--bags", "1"}, {"fill", "box", "--lot", name("lot"), "--bags", "1"}, {"log", "--kind", ugly},
		{"hitch", "sign", ugly}, {ugly}, {"--as", ugly, "note", "x"}, {"note", "x", "--about", ugly}, {"crew", "role", ugly, "helper"},
	} {
		out, code := do(args...)
		if code == 0 || strings.Count(out, "\n") != 1 || strings.ContainsFunc(strings.TrimSuffix(out, "\n"), safetext.Obeyed) {
			t.Errorf("%q: %d %q", args, code, out)
		}
	}
}
