package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What a message must not say: the machine's words for what went wrong.
var jargon = regexp.MustCompile(`strconv|invalid argument|invalid syntax|rpc error|\bEOF\b|%!|wire:| yaml: |listen tcp|dial tcp|lookup |unmarshal|UTF-8|` +
	`context deadline|errno|no such file or directory|flow mapping|token|base64|pflag|unknown flag|<nil>|panic|goroutine|0x|\.turnrow-`)

// What a message has one of: the names or the range that would do, an example,
// or what to do next.
var helps = regexp.MustCompile(`nearest: |, such as |for example: |the [a-z ]+ are |there (are|is) no [a-z ]+ yet|must be |it must |is wanted|are wanted|goes from .* to |` +
	`: (turnrow|type|measure|give|write|name|make|set|copy|leave|look|read|say|take|settle|add|use) |; (give|leave|use|the )|say which|--help lists|: \w+, \w+ or \w+|either|neither .* nor |is written as |another farm wants|: (each|a) `)

// wrongCase is a wrong call, and the value that its message must name.
type wrongCase struct{ call, names string }

// messageFarm is a home with a small farm, and a file in it for each kind of
// trouble.
func messageFarm(t *testing.T) (home, dir string) {
	home, dir = t.TempDir(), t.TempDir()
	holder(t, home)
	t.Chdir(dir)
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("day.yaml", `drill: {name: borrowed drill, rows: 16, spacing: 7.5 in, wheel_roll: 8 ft 2 in, counter: acres}
boxes: [{name: grain, dial: {from: 0, to: 100}, capacity: 12 bu}, {name: legume, dial: {from: 0, to: 60}, sides: [left, right], own_dials: yes}]
chart: [{box: grain, species: oat, points: {20: 18 lb/ac, 40: 41 lb/ac}}]
ground: [{name: bench, area: 7.5 ac}]
lots: [{name: O-1, species: oat, bag: 50 lb}, {name: R-7, species: red clover}]
`)
	write("notes.txt", "not what any command reads\n")
	var out, errs bytes.Buffer
	if code := run([]string{"set", "day.yaml", "--home", home}, &out, &errs); code != 0 {
		t.Fatalf("exit code %d: %s", code, &errs)
	}
	return home, dir
}

// checkMessage holds what a wrong call says against the rule: one line that
// names the wrong value and what would do, in plain words.
func checkMessage(t *testing.T, home string, args []string, names string) {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(append([]string{"--home", home}, args...), &out, &errs)
	says := strings.TrimSuffix(errs.String(), "\n")
	switch {
	case code == 0:
		t.Errorf("%q was taken: %s", args, &out)
	case out.Len() > 0 || strings.Contains(says, "\n") || !strings.HasPrefix(says, "turnrow: "):
		t.Errorf("%q printed %q, and more than one line: %q", args, &out, says)
	case !strings.Contains(says, names):
		t.Errorf("%q does not name %q: %s", args, names, says)
	case !helps.MatchString(says):
		t.Errorf("%q does not say what would do: %s", args, says)
	case jargon.MatchString(says):
		t.Errorf("%q speaks jargon (%s): %s", args, jargon.FindString(says), says)
	}
}

func TestMessagesSayWhatIsWrongAndWhatWouldDo(t *testing.T) {
	home, _ := messageFarm(t)
	for _, c := range []wrongCase{
		// names that nothing goes by
		{"fill grian --lot O-1 --bags 1", `"grian"`}, {"fill grain --lot 0-1 --bags 1", `"0-1"`}, {"drain box9 --all", `"box9"`}, {"level hopper --share 1/2", `"hopper"`},
		{"dial grian 40 --why x", `"grian"`}, {"meter 2 --ground bnech", `"bnech"`}, {"finish hill", `"hill"`}, {"stand --ground hill --frame 1ft2 --counts 1", `"hill"`},
		{"bags in X-1 3", `"X-1"`}, {"weigh X-1 --volume 1cup --mass 6oz", `"X-1"`}, {"lot X-1", `"X-1"`}, {"note hi --about box:grian", `"grian"`}, {"note hi --about tractor:red", `"tractor"`},
		{"note hi --as Bne", `"Bne"`}, {"boxes --as Bne", `"Bne"`}, {"boxes --drill mine", `"mine"`}, {"crew role Ben helper", `"Ben"`}, {"stop phone --why lost", `"phone"`},
		{"log --box grian", `"grian"`}, {"log --person Ben", `"Ben"`}, {"log --kind fills", `"fills"`}, {"why box:grian", `"grian"`}, {"why barn", `"barn"`},
		{"strike ffffff/3 --why x", `"ffffff"`}, {"strike twelve --why x", `"twelve"`}, {"amend twelve --mass 3lb", `"twelve"`}, {"settle abcd --stands 1 --why x", `"abcd"`},
		{"fill legume --lot R-7 --mass 5lb --side middle", `"middle"`}, {"fill grain --lot O-1 --bags 1 --side left", "grain"}, {"rate species foo", `"foo"`},
		// quantities
		{"fill grain --lot O-1 --mass 50", `"50"`}, {"fill grain --lot O-1 --mass 50ft", `"50ft"`}, {"fill grain --lot O-1 --bags two", `"two"`}, {"fill grain --lot O-1 --bags -1", `"-1"`},
		{"fill grain --lot O-1 --bags 0", "0"}, {"fill legume --lot R-7 --bags 1", "R-7"}, {"level grain --share half", `"half"`}, {"level grain --share 120%", `"120%"`}, {"level grain half", `"half"`},
		{"dial grain forty --why x", `"forty"`}, {"dial grain 142 --why x", "142"}, {"dial legume 30 --why x", "legume"}, {"meter two --ground bench", `"two"`}, {"meter 99999999999999999 --ground bench", `"99999999999999999"`},
		{"catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 100", `"100"`}, {"catch --box grain --lot O-1 --dial 40 --turns 20 --rows 400 --caught 100g", "400"},
		{"catch --box grain --lot O-1 --dial 40 --turns -3 --rows 4 --caught 100g", `"-3"`}, {"catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4.5 --caught 100g", `"4.5"`},
		{"catch --box grain --lot O-1 --dial 400 --turns 20 --rows 4 --caught 100g", "400"}, {"catch --box grain --lot O-1 --dial 40 --turns 20 --rows 4 --caught 100g --weighings x", `"x"`},
		{"stand --ground bench --frame 1 --counts 3", `"1"`}, {"stand --ground bench --frame 1ft2 --counts 3,x", `"x"`}, {"bags in O-1 some", `"some"`}, {"plan --reserve lots", `"lots"`},
		{"log --since yesterday", `"yesterday"`}, {"day --date june", `"june"`}, {"season --from june", `"june"`}, {"invite Ben --role boss", `"boss"`}, {"crew role Ada boss", `"boss"`}, {"boxes --units imperial", `"imperial"`},
		{"rate tag --purity 198% --germination 90%", `"198%"`}, {"rate tag --purity 1 --germination 90%", `"1"`}, {"rate tag --purity 98% --germination 90% --limit x", `"x"`}, {"rate tag --tested 2025 --sown 2026-01 --purity 98% --germination 90%", `"2025"`},
		{"rate wheel --roll 0", "0"}, {"rate bulk --live 8 --live-share 0", `"0"`}, {"rate order --bulk 30 --area 0 --bag 50 --price 14", "0"}, {"rate pace --speed 5 --width 10 --efficiency 170%", `"170%"`},
		{"rate evenness --row-masses 1", "1"}, {"rate dial --chart 20-18 --target 30", `"20-18"`}, {"rate stand --frame 1ft2 --counts 1.5", `"1.5"`},
		// what is missing, or there twice
		{"fill grain", "--lot"}, {"fill grain --lot O-1", "--bags"}, {"fill grain --lot O-1 --bags 1 --mass 3lb", "--bags and --mass"}, {"drain grain", "--mass"}, {"level grain", "--share"}, {"dial grain", "dial BOX VALUE"},
		{"dial grain 30", "--why"}, {"meter", "meter READING"}, {"meter 12", "--ground"}, {"catch --box grain", "--lot"}, {"hitch hold", "--why"}, {"settle abcd", "--stands"}, {"note", "note TEXT"}, {"invite Ben", "--role"},
		{"set", "set FILE"}, {"set a.yaml b.yaml", `"b.yaml"`}, {"boxes all", `"all"`}, {"rate tag", "--purity"}, {"rate catch", "--turns"}, {"rate comeup", "--species"}, {"bags out", "bags out LOT N"},
		// commands and flags
		{"fil grain", `"fil"`}, {"xyzzy", `"xyzzy"`}, {"hitch xyzzy", `"xyzzy"`}, {"rate xyzzy", `"xyzzy"`}, {"note hi --nosuch", "--nosuch"}, {"level grain --shar 1/2", "--shar"}, {"fill grain --lot", "--lot"}, {"note hi -q", "-q"}, {"boxes --json=maybe", `"maybe"`},
		// files, addresses, invites
		{"set nofile.yaml", "nofile.yaml"}, {"set .", "is a folder"}, {"set notes.txt/x", "notes.txt"}, {"carry in nofile", "nofile"}, {"carry in notes.txt", "notes.txt"}, {"carry out no/such/x", "no/such"}, {"backup no/such/x", "no/such"}, {"audit no/such/x", "no/such"},
		{"calendar --out no/such/x.ics", "no/such"}, {"verify --file nofile", "nofile"}, {"verify --file notes.txt", "notes.txt"}, {"restore nofile", ""}, {"day --out x.doc", `"x.doc"`}, {"found --farm X --owner Y", ""},
		{"join foo", `"foo"`}, {"at foo", `"foo"`}, {"at turnrow://barn", `"barn"`}, {"sync", ""}, {"sync --with foo", `"foo"`}, {"meet --listen foo", `"foo"`}, {"page --listen foo", `"foo"`}, {"page --listen 0.0.0.0:0", "0.0.0.0:0"},
		// what is not so yet
		{"hitch begin", ""}, {"hitch sign x", ""}, {"hitch release --why x", "borrowed drill"},
	} {
		checkMessage(t, home, strings.Fields(c.call), c.names)
	}
	checkMessage(t, home, []string{"note", "\xff\xfe"}, `"\xff\xfe"`)
	checkMessage(t, home, []string{"note", strings.Repeat("x", 1<<16)}, "65536")
	checkMessage(t, filepath.Join(t.TempDir(), "none"), []string{"boxes"}, "no farm yet")
	checkMessage(t, filepath.Join(t.TempDir(), "none"), []string{"join", "turnrow://x:1/"}, "farm=")
	checkMessage(t, "notes.txt", []string{"boxes"}, "notes.txt")
}

// A set file's message begins with its line, too.
func TestSetFileMessagesSayWhatIsWrongAndWhatWouldDo(t *testing.T) {
	home, dir := messageFarm(t)
	for i, c := range []struct {
		text, names string
		line        int
	}{
		{"drill: {rows: 16}", "name", 1}, {"drill: [a]", "the drill", 1}, {"drill: {name: d, rows: 16.5}", `"16.5"`, 1}, {"drill: {name: d, rows: -1}", `"-1"`, 1}, {"drill: {name: d, rows: 5000}", "5000", 1},
		{"drill: {name: d, spacing: 7.5}", `"7.5"`, 1}, {"drill: {name: d, spacing: 7.5 lb}", `"7.5 lb"`, 1}, {"drill: {name: d, counter: miles}", `"miles"`, 1}, {"drill: {name: d, wheel_roll: 30 ft}", "30 ft", 1},
		{"drill: {name: d, turns_per_acre: 98}", "turns_per_acre", 1}, {"drill: {name: d, counter_turns_per_acre: 0}", "0", 1}, {"drill: {name: d, width: 0 ft}", "width", 1},
		{"drill: {name: d, counter: acres, counter_turns_per_acre: 130}", "counter_turns_per_acre", 1}, {"drill: {name: d, roows: 3}", `"roows"`, 1},
		{"boxes:\n  - {meter: x}", "name", 2}, {"boxes:\n  - {name: b, dial: 100}", "the dial", 2}, {"boxes:\n  - {name: b, dial: {from: 3, to: 3}}", "3", 2}, {"boxes:\n  - {name: b, dial: {from: x, to: 3}}", `"x"`, 2},
		{"boxes:\n  - {name: b, dial: {marks: [A]}}", "marks", 2}, {"boxes:\n  - {name: b, dial: {marks: [A, A]}}", `"A"`, 2}, {"boxes:\n  - {name: b, dial: {from: 0, marks: [A, B]}}", "marks", 2}, {"boxes:\n  - {name: b, capacity: 12 lb}", `"12 lb"`, 2},
		{"boxes:\n  - {name: b, sides: [l, l]}", `"l"`, 2}, {"boxes:\n  - {name: b, sides: [l, r], rows_fed: [3]}", "1 number for 2 sides", 2}, {"boxes:\n  - {name: b, own_dials: maybe}", `"maybe"`, 2},
		{"boxes: {name: b}", "boxes", 1}, {"boxes:\n  - {name: }", "missing", 2}, {"boxes:\n  - {name: [a]}", "plain value", 2},
		{"chart:\n  - {box: grian, species: oat, points: {20: 18 lb/ac}}", `"grian"`, 2}, {"chart:\n  - {box: grain, species: oat, points: {20: 18 lb}}", `"18 lb"`, 2}, {"chart:\n  - {box: grain, species: oat, points: {200: 18 lb/ac}}", "200", 2},
		{"chart:\n  - {box: grain, species: oat, points: {20: 18 lb/ac, 40: 10 lb/ac}}", "10 lb/ac", 2}, {"chart:\n  - {box: grain, species: oat}", "points", 2}, {"chart:\n  - {box: grain, species: oat, points: [20]}", "points", 2},
		{"chart:\n  - {box: grain, species: oat, points: {20: none, 20: 18 lb/ac}}", "20", 2}, {"chart:\n  - {box: grain, species: oat, points: {30: 0 lb/ac}}", "0", 2},
		{"ground:\n  - {area: 1 ac}", "name", 2}, {"ground:\n  - {name: g, area: 7.5}", `"7.5"`, 2}, {"ground:\n  - {name: g, area: -7.5 ac}", `"-7.5 ac"`, 2}, {"ground:\n  - {name: g, slope: 120%}", `"120%"`, 2}, {"ground:\n  - {name: g, slope: steep}", `"steep"`, 2},
		{"ground:\n  - {name: g, state: mud}", `"mud"`, 2}, {"ground:\n  - {name: g, boundary: [[1, 2], [3, 4]]}", "2 corners", 2}, {"ground:\n  - {name: g, boundary: [[500, 2], [3, 4], [5, 6]]}", `"500"`, 2}, {"ground:\n  - {name: g}\n  - {name: g}", `"g"`, 3},
		{"lots:\n  - {species: oat}", "name", 2}, {"lots:\n  - {name: L, purity: 130%}", `"130%"`, 2}, {"lots:\n  - {name: L, species: oat, germination: 95%, hard: 20%}", "20%", 2}, {"lots:\n  - {name: L, purity: 98%}", `"L"`, 2}, {"lots:\n  - {name: L, tested: June}", `"June"`, 2},
		{"lots:\n  - {name: L, bag: 50}", `"50"`, 2}, {"lots:\n  - {name: L, bag: 0 lb}", "0", 2}, {"lots:\n  - {name: L, price: cheap}", `"cheap"`, 2}, {"lots:\n  - {name: L, seeds_per_lb: many}", `"many"`, 2}, {"lots:\n  - {name: L, coating_counted: yes}", `"yes"`, 2},
		{"lots:\n  - {name: L, was: Q}", `"Q"`, 2}, {"lots:\n  - {name: L, name: M}", `"name"`, 2}, {"lots:\n  - {name: R-7, was: O-1}", `"R-7"`, 2},
		{"plan:\n  - {ground: bnech}", `"bnech"`, 2}, {"plan:\n  - {depth: 1 in}", "ground", 2}, {"plan:\n  - ground: bench\n    seed: [{lot: O-9, box: grain, live: 30 lb/ac}]", `"O-9"`, 3}, {"plan:\n  - ground: bench\n    seed: [{lot: O-1, box: grain}]", "aim", 3},
		{"plan:\n  - ground: bench\n    seed: [{box: grain, live: 30 lb/ac}]", "lot", 3}, {"plan:\n  - ground: bench\n    seed: [{lot: O-1, box: grain, live: 30 lb}]", `"30 lb"`, 3}, {"plan:\n  - ground: bench\n    depth: deep", `"deep"`, 3},
		{"plan:\n  - ground: bench\n    seed: [{lot: O-1, box: grain, live: 30 lb/ac, remove: yes}]", "removed", 3},
		{"checks: {items: []}", "items", 1}, {"checks: {version: 0, items: [a]}", "version 0", 1}, {"checks: {items: [a, a]}", `"a"`, 1}, {"checks: {items: [{required: true}]}", "name", 1}, {"checks: {items: [{name: a, required: perhaps}]}", `"perhaps"`, 1},
		{"crew: [Ada]", "crew", 1}, {"foo: 1", `"foo"`, 1}, {"just text", "set file", 1}, {"lots: [{name: L", "missing", 2}, {"\tname: x", "tab", 1}, {"ground:\n  - {name: \"g}", "", 2}, {"lots:\n - name: a: b", "", 2}, {"lots:\n  - {name: A}\n - {name: B}", "", 3},
	} {
		name := fmt.Sprintf("f%d.yaml", i)
		if err := os.WriteFile(filepath.Join(dir, name), []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		t.Log(c.text)
		checkMessage(t, home, []string{"set", name}, c.names)
		checkMessage(t, home, []string{"set", name}, fmt.Sprintf("%s:%d:", name, c.line))
	}
	if err := os.WriteFile(filepath.Join(dir, "empty.yaml"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	checkMessage(t, home, []string{"set", "empty.yaml"}, "empty.yaml")
}
