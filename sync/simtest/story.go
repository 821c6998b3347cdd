package simtest

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/simtest/naive"
)

// dayBegins is the line between a story's setting and its day.
const dayBegins = "---"

// Story is a crew's day as text: lines to do, and what is to be seen then.
type Story struct {
	Name  string
	lines []storyLine
}

// storyLine is a line of a story, or of the setting that it took from another.
type storyLine struct {
	text  string
	other bool
}

// ParseStory reads a story. A line "as in NAME" brings in all lines of the
// text that include gives for that name.
func ParseStory(name, text string, include func(name string) (string, error)) (*Story, error) {
	s := &Story{Name: name}
	for l := range strings.Lines(text) {
		l = strings.TrimRight(l, " \t\n\r")
		s.lines = append(s.lines, storyLine{text: l})
		of, ok := strings.CutPrefix(l, asIn)
		if !ok {
			continue
		}
		more, err := include(of)
		if err != nil {
			return nil, err
		}
		for l := range strings.Lines(more) {
			s.lines = append(s.lines, storyLine{strings.TrimRight(l, " \t\n\r"), true})
		}
	}
	return s, nil
}

const asIn = "as in "

// Telling is a story as it went.
type Telling struct {
	World *World
	Text  string     // the story with what was really seen
	Set   []entry.ID // the entries of the setting
	wrong []string
}

// Err says where what was seen is not what was expected.
func (t *Telling) Err() error {
	if len(t.wrong) == 0 {
		return nil
	}
	return errors.New(strings.Join(t.wrong, "\n"))
}

// Tell runs a story in a world where nothing has happened.
func (s *Story) Tell(w *World) (*Telling, error) {
	t := &Telling{World: w}
	var out bytes.Buffer
	for i := 0; i < len(s.lines); i++ {
		l := s.lines[i]
		if !l.other {
			fmt.Fprintln(&out, l.text)
		}
		var err error
		switch {
		case strings.HasPrefix(l.text, asIn):
		case l.text == dayBegins:
			for _, e := range w.all() {
				t.Set = append(t.Set, e.ID)
			}
		case strings.HasPrefix(l.text, "expect "):
			var got []string
			if got, err = w.expect(l.text); err == nil {
				for _, g := range got {
					fmt.Fprintln(&out, g)
				}
				want := s.below(i + 1)
				t.compare(fmt.Sprintf("%s:%d: %s", s.Name, i+1, l.text), got, want)
				i += len(want)
			}
		default:
			err = w.Do(l.text)
		}
		if err != nil {
			return t, fmt.Errorf("%s:%d: %w", s.Name, i+1, err)
		}
	}
	t.Text = out.String()
	return t, nil
}

// below are the indented lines from a place on.
func (s *Story) below(i int) []string {
	var out []string
	for ; i < len(s.lines) && strings.HasPrefix(s.lines[i].text, "  "); i++ {
		out = append(out, s.lines[i].text)
	}
	return out
}

func (t *Telling) compare(where string, got, want []string) {
	if !slices.Equal(got, want) {
		t.wrong = append(t.wrong, fmt.Sprintf("%s\ngot:\n%s\nwant:\n%s", where, strings.Join(got, "\n"), strings.Join(want, "\n")))
	}
}

// expect is what is seen where a story says: expect PLACE: MATTERS, or expect
// everyone: MATTERS, where all must see the same.
func (w *World) expect(line string) ([]string, error) {
	who, what, ok := strings.Cut(strings.TrimPrefix(line, "expect "), ":")
	if !ok {
		return nil, fmt.Errorf("want: expect PLACE: MATTERS")
	}
	places := w.places
	if who != "everyone" {
		p, err := w.Place(who)
		if err != nil {
			return nil, err
		}
		places = []*Place{p}
	}
	var all []string
	for i, p := range places {
		got, err := w.Show(p, strings.Fields(what))
		if err != nil {
			return nil, err
		}
		for j := range got {
			got[j] = "  " + got[j]
		}
		if i > 0 && !slices.Equal(all, got) {
			return nil, fmt.Errorf("%s sees\n%s\nand %s sees\n%s", places[0].Name, strings.Join(all, "\n"), p.Name, strings.Join(got, "\n"))
		}
		all = got
	}
	return all, nil
}

// Orders gives fn every order in which the entries of a story's day can come
// to a replica that has the setting already: each device's in their own order.
// It says how many there were; fn may end it by giving an error. Where a log is
// forked, the entries are as a replica folds them that knows of the fork.
func (t *Telling) Orders(fn func(branches []naive.Branch, es []entry.Entry) error) (int, error) {
	var setting []entry.Entry
	var logs [][]entry.Entry // of the day, by device
	all, branches := t.World.all(), []naive.Branch(nil)
	if es, forked := t.World.places[0].Record(); len(forked) > 0 {
		all, branches = es, forked
	}
	for _, e := range all {
		if slices.Contains(t.Set, e.ID) {
			setting = append(setting, e)
			continue
		}
		i := slices.IndexFunc(logs, func(l []entry.Entry) bool { return l[0].Log == e.Log })
		if i < 0 {
			logs, i = append(logs, nil), len(logs)
		}
		logs[i] = append(logs[i], e)
	}
	n := 0
	var from func(order []entry.Entry) error
	from = func(order []entry.Entry) error {
		done := true
		for i := range logs {
			if len(logs[i]) == 0 {
				continue
			}
			done = false
			e := logs[i][0]
			logs[i] = logs[i][1:]
			err := from(append(order, e))
			logs[i] = append([]entry.Entry{e}, logs[i]...)
			if err != nil {
				return err
			}
		}
		if !done {
			return nil
		}
		n++
		return fn(branches, order)
	}
	return n, from(setting)
}

// Day is the number of entries in a story's day.
func (t *Telling) Day() int { return len(t.World.all()) - len(t.Set) }

// all is every entry that any place holds, in total order.
func (w *World) all() []entry.Entry {
	var es []entry.Entry
	have := map[entry.ID]bool{}
	for _, p := range w.places {
		for _, e := range p.Entries() {
			if !have[e.ID] {
				have[e.ID] = true
				es = append(es, e)
			}
		}
	}
	var logs [][]entry.Entry
	for _, e := range es {
		i := slices.IndexFunc(logs, func(l []entry.Entry) bool { return l[0].Log == e.Log })
		if i < 0 {
			i = len(logs)
			logs = append(logs, nil)
		}
		logs[i] = append(logs[i], e)
	}
	es = merged(logs)
	return es
}
