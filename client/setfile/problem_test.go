package setfile

import (
	"errors"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// TestProblemsSayWhere holds each mistake against the place and the words that
// its author needs.
func TestProblemsSayWhere(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"nothing":               {"", "set.yaml: the file is empty: write into it what should be so, such as drill: {name: borrowed drill, rows: 16}"},
		"only a comment":        {"# later\n", "set.yaml: the file is empty: write into it what should be so, such as drill: {name: borrowed drill, rows: 16}"},
		"not YAML":              {"drill: {name: a, rows: 16\nboxes:\n  - x\n", "set.yaml:2:6: missing ',' or '}', in a list of keys within { } that began on line 1"},
		"tab":                   {"lots:\n\t- {name: a}\n", "set.yaml:2:1: a mark that nothing begins with, such as a tab"},
		"two documents":         {"lots: []\n---\nlots: []\n", "set.yaml: expected single document"},
		"a list":                {"- a\n", "set.yaml:1:1: a set file is written as keys and values"},
		"a word":                {"hello\n", "set.yaml:1:1: a set file is written as keys and values"},
		"a key's typo":          {"ground:\n  - {name: bench, slop: 12%}\n", `set.yaml:2:19: unknown key "slop" in a piece of ground; nearest: slope`},
		"a section's typo":      {"grounds: []\n", `set.yaml:1:1: unknown key "grounds" in a set file; nearest: ground`},
		"the crew":              {"crew: [Ada]\n", "set.yaml:1:7: the crew is not set here"},
		"a key twice":           {"drill: {name: d, rows: 16, rows: 17}\n", `set.yaml:1:28: key "rows" stands twice in the drill: first on line 1`},
		"a name twice":          {"lots:\n  - {name: a}\n  - {name: b}\n  - {name: a}\n", `set.yaml:4:5: "a" stands twice in lots: first on line 2`},
		"a plan twice":          {"ground: [{name: g}]\nplan:\n  - {ground: g}\n  - {ground: g}\n", `set.yaml:4:5: "g" stands twice in the plan`},
		"no name":               {"boxes:\n  - {meter: cup}\n", "set.yaml:2:5: a box needs a name"},
		"empty value":           {"drill:\n  name:\n", "set.yaml:2:8: a value is missing here"},
		"a mass for a rate":     {"plan:\n  - {ground: g, seed: [{lot: a, box: b, live: 23 lb}]}\n", `set.yaml:2:47: "23 lb" is a mass; a rate is wanted`},
		"no unit":               {"ground: [{name: g, area: 7.5}]\n", `set.yaml:1:26: "7.5" has no unit`},
		"more than all":         {"lots: [{name: a, purity: 120%}]\n", `set.yaml:1:26: "120%" is too great`},
		"more seed than all":    {"lots: [{name: a, germination: 90%, hard: 20%}]\n", "set.yaml:1:8: germination 90% and hard seed 20% come to more than 100%"},
		"a state":               {"ground: [{name: g, state: claered}]\n", `set.yaml:1:27: unknown state "claered"; nearest: cleared`},
		"a date":                {"lots: [{name: a, tested: June}]\n", `set.yaml:1:26: "June" is not a date, such as 2026-06-01`},
		"a counter":             {"drill: {name: d, counter: hours}\n", `set.yaml:1:27: unknown counter "hours"`},
		"turns of what":         {"drill: {name: d, turns_per_acre: 130}\n", "set.yaml:1:34: turns_per_acre may be of two things: write wheel_turns_per_acre for the wheel that drives the meters, or counter_turns_per_acre for the shaft that the counter counts"},
		"turns beside acres":    {"drill: {name: d, counter: acres, counter_turns_per_acre: 130}\n", "set.yaml:1:8: counter_turns_per_acre goes with counter: turns alone"},
		"a wheel of 63 ft":      {"drill: {name: d, width: 7 ft, wheel_turns_per_acre: 98}\n", "set.yaml:1:8: wheel_turns_per_acre 98: that wheel would be 63 ft 6 in round (43,560 ft2 ÷ 7 ft ÷ 98 turns), and the wheel that drives the meters is 4 ft to 12 ft. Turns of the shaft that the counter counts are counter_turns_per_acre"},
		"a wheel of 8 in":       {"drill: {name: d, wheel_roll: 8.2 in}\n", "set.yaml:1:8: wheel_roll 8.2 in: the wheel that drives the meters is 4 ft to 12 ft round"},
		"two wheels":            {"drill: {name: d, rows: 16, spacing: 7.5 in, wheel_roll: 8ft2in, wheel_turns_per_acre: 480}\n", "set.yaml:1:8: wheel_roll 8 ft 2 in and wheel_turns_per_acre 480 contradict each other: these turns are a wheel 9 ft 0.9 in round (43,560 ft2 ÷ 10 ft ÷ 480 turns). Measure the roll"},
		"numbers and marks":     {"drill: {name: d}\nboxes: [{name: b, dial: {from: 1, marks: [A, B]}}]\n", "set.yaml:2:25: a dial has numbers or marks, not both"},
		"one mark":              {"drill: {name: d}\nboxes: [{name: b, dial: {marks: [A]}}]\n", "set.yaml:2:25: a dial has two marks or more"},
		"a mark twice":          {"drill: {name: d}\nboxes: [{name: b, dial: {marks: [A, B, A]}}]\n", `set.yaml:2:40: mark "A" stands twice`},
		"no such mark":          {"drill: {name: d}\nboxes: [{name: b, dial: {marks: [A, B]}}]\nchart: [{box: b, species: oat, points: {C: 18 lb/ac}}]\n", `set.yaml:3:41: dial "C": no such mark: the dial of box b has the marks A, B`},
		"a letter":              {"drill: {name: d}\nboxes: [{name: b}]\nchart: [{box: b, species: oat, points: {C: 18 lb/ac}}]\n", `set.yaml:3:41: "C" has no number; a dial setting is wanted`},
		"off the dial":          {"drill: {name: d}\nboxes: [{name: b, dial: {from: 60, to: 0}}]\nchart: [{box: b, species: oat, points: {61: 18 lb/ac}}]\n", "set.yaml:3:41: dial 61: the dial of box b goes from 60 to 0"},
		"a chart that falls":    {"drill: {name: d}\nboxes: [{name: b}]\nchart: [{box: b, species: oat, points: {20: 41 lb/ac, 40: 18 lb/ac}}]\n", "set.yaml:3:9: the chart gives 41 lb/ac at dial 20 and 18 lb/ac at dial 40; its rates must rise with the dial, or fall where the dial is written reversed, such as dial: {from: 60, to: 0}"},
		"one that rises":        {"drill: {name: d}\nboxes: [{name: b, dial: {from: 60, to: 0}}]\nchart: [{box: b, species: oat, points: {20: 18 lb/ac, 40: 41 lb/ac}}]\n", "set.yaml:3:9: the chart gives 18 lb/ac at dial 20 and 41 lb/ac at dial 40; its rates must fall as the dial goes up"},
		"marks backwards":       {"drill: {name: d}\nboxes: [{name: b, dial: {marks: [A, B]}}]\nchart: [{box: b, species: oat, points: {A: 41 lb/ac, B: 18 lb/ac}}]\n", "set.yaml:3:9: the chart gives 41 lb/ac at dial A and 18 lb/ac at dial B; its rates must rise from mark to mark: write the marks in the order from least seed to most"},
		"bushels of what":       {"drill: {name: d}\nboxes: [{name: b}]\nchart: [{box: b, species: pearl millet, points: {20: 0.4 bu/ac}}]\n", `set.yaml:3:54: "0.4 bu/ac": no bushel weight of Pearl millet was published; write what a bushel of it weighs, such as 0.4 bu/ac at 32 lb/bu`},
		"a bag of what":         {"lots: [{name: a, bag: 1 bu}]\n", `set.yaml:1:23: "1 bu": a bushel is a volume, and which species it is of is not known; write what`},
		"live seed off a chart": {"drill: {name: d}\nboxes: [{name: b}]\nchart: [{box: b, species: oat, points: {20: 18 lb PLS/ac}}]\n", `set.yaml:3:45: "18 lb PLS/ac" is pure live seed`},
		"bulk seed in a plan":   {"plan: [{ground: g, seed: [{lot: a, box: b, live: 18 lb bulk/ac}]}]\n", `set.yaml:1:50: "18 lb bulk/ac" is bulk seed`},
		"germination of 1":      {"lots: [{name: a, germination: 1}]\n", `set.yaml:1:31: "1" could be 1 % or 100 %`},
		"half a row":            {"drill: {name: d, rows: 7.5}\n", `set.yaml:1:24: "7.5" is not a whole number`},
		"too many rows":         {"drill: {name: d, rows: 1001}\n", "set.yaml:1:8: rows is 1001: must be 1 to 1000"},
		"dial of nothing":       {"drill: {name: d}\nboxes: [{name: b, dial: {from: 60, to: 60}}]\n", "set.yaml:2:9: the dial's range goes from 60 to 60: from one end to another is wanted, such as {from: 0, to: 100}"},
		"sides and rows":        {"drill: {name: d}\nboxes: [{name: b, sides: [l, r], rows_fed: [8]}]\n", "set.yaml:2:9: rows_fed has 1 number for 2 sides"},
		"box without drill":     {"boxes: [{name: b}]\n", "set.yaml:1:9: a box belongs to a drill"},
		"two corners":           {"ground: [{name: g, boundary: [[1, 2], [3, 4]]}]\n", "set.yaml:1:30: a ring has 2 corners"},
		"a corner of three":     {"ground: [{name: g, boundary: [[1, 2], [3, 4], [5, 6, 7]]}]\n", "set.yaml:1:47: a corner is written as [longitude, latitude]"},
		"off the globe":         {"ground: [{name: g, boundary: [[1, 2], [3, 4], [5, 96]]}]\n", "set.yaml:1:10: latitude is 960000000"},
		"no aim":                {"plan: [{ground: g, seed: [{lot: a, box: b}]}]\n", "set.yaml:1:27: a seed of the plan needs one aim"},
		"two aims":              {"plan: [{ground: g, seed: [{lot: a, box: b, live: 1 lb/ac, seeds: 3/ft2}]}]\n", "set.yaml:1:27: a seed of the plan needs one aim"},
		"no such ground":        {"ground: [{name: bench}]\nplan: [{ground: bnech}]\n", `set.yaml:2:8: unknown ground "bnech"; nearest: bench`},
		"no such lot":           {"drill: {name: d}\nboxes: [{name: b}]\nground: [{name: g}]\nlots: [{name: O-1}]\nplan: [{ground: g, seed: [{lot: 0-1, box: b, live: 1 lb/ac}]}]\n", `set.yaml:5:27: unknown lot "0-1"; nearest: O-1`},
		"no such box":           {"chart: [{box: grain, species: oat, points: {20: 18 lb/ac}}]\n", `set.yaml:1:9: unknown box "grain"; there are no boxes yet`},
		"no points":             {"chart: [{box: grain, species: oat}]\n", "set.yaml:1:9: a chart needs box, species and points"},
		"a point twice":         {"drill: {name: d}\nboxes: [{name: b}]\nchart: [{box: b, species: oat, points: {20: 18 lb/ac, 20.0: 19 lb/ac}}]\n", "set.yaml:3:55: dial 20 stands twice in the chart"},
		"no checks":             {"checks: {version: 1}\n", "set.yaml:1:9: checks need items"},
		"neither yes nor no":    {"checks: {items: [{name: a, required: maybe}]}\n", `set.yaml:1:38: "maybe" is neither yes nor no`},
		"was who":               {"lots: [{name: a, was: b}]\n", `set.yaml:1:8: unknown lot "b"; there are no lots yet`},
	} {
		t.Run(name, func(t *testing.T) {
			r := newReplica(t)
			f, err := Parse("set.yaml", []byte(c.text))
			if err == nil {
				_, err = f.Entries(r.state.View(), entry.ID{}, r.next)
			}
			var p *Problem
			if !errors.As(err, &p) || !strings.HasPrefix(err.Error(), c.want) {
				t.Errorf("%q gave\n  %v\nwant\n  %s", c.text, err, c.want)
			}
		})
	}
}

func TestProblemKeepsItsCause(t *testing.T) {
	_, err := Parse("set.yaml", []byte("ground: [{name: g, area: 7.5}]\n"))
	if !errors.Is(err, units.ErrUnit) {
		t.Errorf("%v is no ErrUnit", err)
	}
}

func TestProblemsWithWhatIsThere(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"an old version": {"checks: {version: 1, items: [hoses tied clear]}\n", "set.yaml:1:9: version 1 of the checks is there with other items: a changed list needs version 2 or higher"},
		"a name taken":   {"lots: [{name: O-1, was: C-7}]\n", `set.yaml:1:8: lot "C-7" cannot become "O-1": there is one of that name; leave was out, or give another name`},
		"another wheel":  {"drill: {name: borrowed drill, wheel_turns_per_acre: 480}\n", "set.yaml:1:8: wheel_roll 8 ft 2 in and wheel_turns_per_acre 480 contradict each other: these turns are a wheel 9 ft 0.9 in round (43,560 ft2 ÷ 10 ft ÷ 480 turns). Measure the roll under load, and leave the other out or set both"},
		"half a dial":    {"boxes: [{name: legume, dial: {from: 60}}]\n", "set.yaml:1:9: the dial's range goes from 60 to 60: from one end to another is wanted, such as {from: 0, to: 100}"},
	} {
		t.Run(name, func(t *testing.T) {
			r := newReplica(t)
			r.set(wholeDay(t))
			f, err := Parse("set.yaml", []byte(c.text))
			if err != nil {
				t.Fatal(err)
			}
			if _, err = f.Entries(r.state.View(), entry.ID{}, r.next); err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

// FuzzParse holds any file at all against two promises: a bad one is a Problem
// and no panic, and what a good one sets need not be set again.
func FuzzParse(f *testing.F) {
	f.Add(wholeDay(f))
	f.Add("drill: &d {name: d, counter_turns_per_acre: 130}\nlots: [*d]\n")
	f.Add("drill: {name: d, counter: hectares}\nboxes: [{name: b, dial: {marks: [A, B]}}]\nchart: [{box: b, species: oat, points: {A: 0.4 bu/ac}}]\nlots: [{name: a, species: oat, bag: 1 bu}]")
	f.Add("drill: {name: d}\nboxes: [{name: b, dial: {from: 60, to: 0}}]\nchart: [{box: b, species: oat, points: {40: 0.4 bu/ac at 36 lb/bu}}]")
	f.Add("lots: [{name: a, was: b}, {name: b, was: a}]")
	f.Add("boxes: [{name: b, rows_fed: [8], own_dials: yes, dial: {from: 0, to: 1}}]\ndrill: {name: d}")
	f.Add("a: &a [*a]")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Parse("set.yaml", []byte(text))
		var p *Problem
		if err != nil {
			if !errors.As(err, &p) || strings.ContainsAny(p.What, "\x00") {
				t.Fatalf("%v is no Problem", err)
			}
			return
		}
		r := newReplica(t)
		bodies, err := file.Entries(r.state.View(), entry.ID{}, r.next)
		if err != nil {
			if !errors.As(err, &p) {
				t.Fatalf("%v is no Problem", err)
			}
			return
		}
		r.write(bodies...)
		again, err := file.Entries(r.state.View(), entry.ID{}, r.next)
		if err == nil && len(again) > 0 {
			t.Errorf("%q wrote %+v again", text, again[0])
		}
	})
}
