package simtest

import (
	"fmt"
	"slices"
	"strings"
)

// token is a word of a line, or a text in quotes.
type token struct {
	text   string
	quoted bool
}

// cutWords cuts a line into words. A text in double quotes is one word; there
// is no way to have a quote within it.
func cutWords(line string) ([]token, error) {
	var ts []token
	for line = strings.TrimSpace(line); line != ""; line = strings.TrimSpace(line) {
		if line[0] == '"' {
			end := strings.IndexByte(line[1:], '"')
			if end < 0 {
				return nil, fmt.Errorf("a text without an end: %s", line)
			}
			ts = append(ts, token{line[1 : end+1], true})
			line = line[end+2:]
			continue
		}
		end := strings.IndexAny(line, " \t")
		if end < 0 {
			end = len(line)
		}
		ts = append(ts, token{text: line[:end]})
		line = line[end:]
	}
	return ts, nil
}

// line is one line of a story, taken apart.
type line struct {
	place  string // who does it
	person string // in whose name; "" for the device's own
	label  string // of the entry that it makes
	words  []token
	writes bool // an entry: "place: ..."
}

// parse takes a line apart.
func parse(text string) (line, error) {
	ts, err := cutWords(text)
	if err != nil || len(ts) == 0 {
		return line{}, err
	}
	var l line
	end := slices.IndexFunc(ts, func(t token) bool { return !t.quoted && strings.HasSuffix(t.text, ":") })
	if end < 0 || end > 1 {
		l.place, l.words = ts[0].text, ts[1:]
		return l, nil
	}
	l.writes = true
	if end == 1 {
		l.place = ts[0].text
		l.person = strings.Trim(strings.TrimSuffix(ts[1].text, ":"), "()")
	} else {
		l.place = strings.TrimSuffix(ts[0].text, ":")
	}
	l.words = ts[end+1:]
	if len(l.words) > 1 && l.words[1].text == "=" && !l.words[1].quoted {
		l.label, l.words = l.words[0].text, l.words[2:]
	}
	if len(l.words) == 0 {
		return l, fmt.Errorf("nothing is written: %s", text)
	}
	return l, nil
}

// phrase is a key word and what follows it.
type phrase struct {
	key    string
	values []token
}

// phrases cuts words at the key words of a verb. An amendment's new body comes
// last, behind "as".
func (v verb) phrases(ts []token) (ps []phrase, rest []token, err error) {
	keys := map[string]bool{}
	for _, w := range v.fields {
		keys[w.name] = true
	}
	for _, w := range v.items {
		keys[w.name] = true
	}
	for i, t := range ts {
		switch {
		case !t.quoted && t.text == "as":
			return ps, ts[i+1:], nil
		case !t.quoted && keys[t.text]:
			ps = append(ps, phrase{key: t.text})
		case len(ps) == 0:
			return nil, nil, fmt.Errorf("%q is no word of this kind", t.text)
		default:
			ps[len(ps)-1].values = append(ps[len(ps)-1].values, t)
		}
	}
	return ps, nil, nil
}

func (p phrase) text() string {
	parts := make([]string, len(p.values))
	for i, t := range p.values {
		parts[i] = t.text
	}
	return strings.Join(parts, " ")
}
