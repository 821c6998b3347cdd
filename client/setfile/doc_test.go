package setfile

import (
	"slices"
	"strings"
	"testing"

	"turnrow/sync/entry"
)

// tables are the keys that the reader knows, by part.
func tables() map[string][]key {
	f := &File{}
	return map[string][]key{
		"drill": (&drill{}).keys(), "boxes": (&box{}).keys(), "dial of boxes": (&dialOf{}).keys(),
		"chart": (&chart{}).keys(), "ground": (&ground{}).keys(), "lots": (&lot{}).keys(),
		"plan": (&plan{}).keys(), "seed of plan": (&component{}).keys(),
		"checks": (&checks{}).keys(), "items of checks": itemKeys(&entry.CheckItem{}), "crew": nil, "": f.keys(),
	}
}

// Every key that the reader knows has a row in SETFILE.md with what it is, and
// no row is of a key that it does not know. Help is made of the same rows.
func TestEveryKeyIsDescribed(t *testing.T) {
	described := map[string][]string{}
	for _, d := range Keys() {
		described[d.Of] = append(described[d.Of], d.Key)
		if d.What == "" || len(d.What) > 200 {
			t.Errorf("%s of %s is described as %q", d.Key, d.Of, d.What)
		}
	}
	known := tables()
	for part, keys := range known {
		for _, k := range keys {
			if part == "" { // the parts themselves
				if _, ok := known[k.name]; !ok {
					t.Errorf("part %s has no table of keys here", k.name)
				}
			} else if !slices.Contains(described[part], k.name) {
				t.Errorf("SETFILE.md has no row for %s of %s", k.name, part)
			}
		}
	}
	for part, keys := range described {
		for _, name := range keys {
			if !slices.ContainsFunc(known[part], func(k key) bool { return k.name == name }) {
				t.Errorf("SETFILE.md has a row for %s of %s, which is no key", name, part)
			}
		}
	}
}

// What the page gives as an example of a key is taken.
func TestExamplesAreTaken(t *testing.T) {
	for _, d := range Keys() {
		if d.Example == "" || d.Of == "dial of boxes" || d.Of == "seed of plan" || d.Of == "items of checks" || d.Key == "was" {
			continue
		}
		for _, ex := range examples(d.Example) {
			text := map[string]string{
				"drill":  "drill: {name: d, KEY}",
				"boxes":  "drill: {name: d}\nboxes: [{name: b, KEY}]",
				"chart":  "drill: {name: d}\nboxes: [{name: grain}]\nchart: [{box: grain, species: oat, points: {1: 1 lb/ac}, KEY}]",
				"ground": "ground: [{name: g, KEY}]",
				"lots":   "lots: [{name: l, species: red clover, KEY}]",
				"plan":   "ground: [{name: bench}]\nplan: [{ground: bench, KEY}]",
				"checks": "checks: {items: [a], KEY}",
			}[d.Of]
			r := newReplica(t)
			f, err := Parse("set.yaml", []byte(without(text, d.Key+": "+ex)))
			if err == nil {
				_, err = f.Entries(r.state.View(), entry.ID{}, r.next)
			}
			if err != nil {
				t.Errorf("%s of %s: %s: %v", d.Key, d.Of, ex, err)
			}
		}
	}
}

// examples parts examples that stand beside each other.
func examples(text string) []string {
	if strings.ContainsAny(text, "[{") || strings.Contains(text, "272,000") || strings.Contains(text, "600,000") {
		return []string{quoted(text)}
	}
	return strings.Split(text, ", ")
}

// quoted is a number with commas as YAML wants it within { }.
func quoted(text string) string {
	if strings.ContainsAny(text, "[{") {
		return text
	}
	return `"` + text + `"`
}

// without puts a key into a text, in place of one that stands there already.
func without(text, pair string) string {
	name, _, _ := strings.Cut(pair, ":")
	for _, there := range []string{"name: d", "name: b", "name: g", "name: l", "box: grain", "species: oat", "points: {1: 1 lb/ac}", "species: red clover", "ground: bench", "items: [a]"} {
		if strings.HasPrefix(there, name+":") {
			text = strings.Replace(text, there+", ", "", 1)
		}
	}
	return strings.Replace(text, "KEY", pair, 1)
}
