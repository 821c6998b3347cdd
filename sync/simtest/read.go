package simtest

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// names finds what the words of a line refer to.
type names interface {
	// entry is the entry of a name, where the writer knows it.
	entry(name string) (entry.ID, error)
	// device is how far the writer knows the log of a place's device; first is
	// its first entry.
	device(place string) (entry.Mark, error)
	first(place string) (entry.Mark, error)
}

// body reads a body of a verb from the words behind it.
func body(name string, ts []token, known names) (entry.Body, error) {
	if name == "unknown" {
		return readNewer(ts)
	}
	v, ok := verbs[name]
	if !ok {
		return nil, fmt.Errorf("%q is nothing that can be written", name)
	}
	ps, rest, err := v.phrases(ts)
	if err != nil {
		return nil, err
	}
	b := entry.New(v.kind)
	r := &filler{verb: v, words: v.fields, phrases: ps, known: known}
	b.Fields(r)
	if r.err == nil && len(r.used) < len(ps) {
		for i, p := range ps {
			if !r.used[i] {
				r.err = fmt.Errorf("%q says nothing here", p.key)
			}
		}
	}
	if a, ok := b.(*entry.Amended); ok && r.err == nil {
		if len(rest) == 0 {
			return nil, fmt.Errorf("an amendment ends with: as, and the new words")
		}
		a.Body, r.err = body(rest[0].text, rest[1:], known)
	}
	return b, r.err
}

// filler is an entry.Fields that fills a body from phrases.
type filler struct {
	verb    verb
	words   map[int]word
	phrases []phrase
	used    map[int]bool
	known   names
	err     error
	mark    entry.Mark // read lately
	marks   int        // the field at which it begins; 0 where there is none
}

// take gives the first phrase of a field that was not taken yet.
func (r *filler) take(num int) (word, phrase, bool) {
	w, ok := r.words[num]
	if !ok || r.err != nil {
		return w, phrase{}, false
	}
	for i, p := range r.phrases {
		if p.key == w.name && !r.used[i] {
			if r.used == nil {
				r.used = map[int]bool{}
			}
			r.used[i] = true
			return w, p, true
		}
	}
	return w, phrase{}, false
}

func (r *filler) fail(err error) {
	if err != nil && r.err == nil {
		r.err = err
	}
}

// number reads the words of a field that is a number.
func (r *filler) number(w word, p phrase) int64 {
	var v int64
	var err error
	switch w.sort {
	case integer:
		v, err = strconv.ParseInt(p.text(), 10, 64)
	case flag:
		v = 1
	case role:
		got, ok := entry.ParseRole(p.text())
		if v = int64(got); !ok {
			err = fmt.Errorf("%q is no role", p.text())
		}
	case drillState:
		v, err = oneOf(p.text(), "transport", "field")
	case counter:
		v, err = oneOf(p.text(), "acres", "turns", "hectares")
	case catchWay:
		v, err = oneOf(p.text(), "standing", "moving")
	case pinned:
		v, err = oneOf(p.text(), "thin", "blocked", "stone", "other")
	case errand:
		v, err = oneOf(p.text(), "wanted", "coming", "there")
	case coated:
		v, err = oneOf(p.text(), "in", "apart")
	default:
		v, err = quantity(w.sort, p.text())
	}
	r.fail(err)
	return v
}

func oneOf(s string, words ...string) (int64, error) {
	for i, w := range words {
		if s == w {
			return int64(i + 1), nil
		}
	}
	return 0, fmt.Errorf("%q is none of %s", s, strings.Join(words, ", "))
}

func quantity(s sort, t string) (int64, error) {
	switch s {
	case mass:
		v, err := units.ParseMass(t)
		return int64(v), err
	case length:
		v, err := units.ParseLength(t)
		return int64(v), err
	case area:
		v, err := units.ParseArea(t)
		return int64(v), err
	case volume:
		v, err := units.ParseVolume(t)
		return int64(v), err
	case rates:
		v, err := units.ParseRate(t)
		return int64(v), err
	case density:
		v, err := units.ParseDensity(t)
		return int64(v), err
	case dial:
		v, err := units.ParseDial(t)
		return int64(v), err
	case turns:
		v, err := units.ParseTurns(t)
		return int64(v), err
	case reading:
		v, err := units.ParseReading(t)
		return int64(v), err
	case share:
		v, err := units.ParseShare(t)
		return int64(v), err
	case count:
		v, err := units.ParseCount(t)
		return int64(v), err
	case money:
		v, err := units.ParseMoney(t)
		return int64(v), err
	}
	return 0, fmt.Errorf("%q is no figure", t)
}

func (r *filler) id(w word, name string) entry.ID {
	var id entry.ID
	var err error
	if name != "none" {
		id, err = r.known.entry(name)
	}
	r.fail(err)
	return id
}

func (r *filler) Int(num int, v *int64) {
	if w, p, ok := r.take(num); ok {
		*v = r.number(w, p)
	}
}

func (r *filler) Uint(num int, v *uint64) {
	if r.marks > 0 && num == r.marks+1 {
		*v = r.mark.Seq
	} else if w, p, ok := r.take(num); ok {
		*v = uint64(r.number(w, p))
	}
}

func (r *filler) Text(num int, v *string) {
	if _, p, ok := r.take(num); ok {
		*v = p.text()
	}
}

// Bytes reads a place, which stands for how far its device's log is known, or
// for its first entry: two or three fields that follow on each other.
func (r *filler) Bytes(num int, v *[]byte) {
	if r.marks > 0 && (num == r.marks+2 || num == r.marks+1 && r.words[r.marks].sort == asker) {
		*v = r.mark.Hash[:]
		return
	}
	w, p, ok := r.take(num)
	if !ok {
		return
	}
	find := r.known.device
	if w.sort == asker {
		find = r.known.first
	}
	var err error
	r.mark, err = find(p.text())
	r.fail(err)
	r.marks, *v = num, r.mark.Log[:]
}

func (r *filler) Ref(num int, v *entry.ID) {
	if w, p, ok := r.take(num); ok {
		*v = r.id(w, p.text())
	} else if w.name == "drill" {
		*v = r.id(w, "drill") // a crew with one drill need not name it
	}
}

func (r *filler) OptInt(num int, set *bool, v *int64) {
	if w, p, ok := r.take(num); ok {
		*set, *v = true, r.number(w, p)
	}
}

func (r *filler) OptText(num int, set *bool, v *string) {
	if _, p, ok := r.take(num); ok {
		*set, *v = true, p.text()
	}
}

func (r *filler) Ints(num, n int, grow func(), at func(int) *int64) {
	w, p, ok := r.take(num)
	if !ok {
		return
	}
	for i, q := range figures(p.values) {
		grow()
		*at(n + i) = r.number(w, phrase{values: q})
	}
}

// figures parts a list of words into figures, each with the unit behind it.
func figures(ts []token) (out [][]token) {
	for _, t := range ts {
		if n := len(out); n > 0 && t.text != "" && unicode.IsLetter(rune(t.text[0])) {
			out[n-1] = append(out[n-1], t)
			continue
		}
		out = append(out, []token{t})
	}
	return out
}

func (r *filler) Texts(num int, v *[]string) {
	if _, p, ok := r.take(num); ok {
		for _, t := range p.values {
			*v = append(*v, t.text)
		}
	}
}

func (r *filler) Refs(num int, v *[]entry.ID) {
	if w, p, ok := r.take(num); ok {
		for _, t := range p.values {
			*v = append(*v, r.id(w, t.text))
		}
	}
}

// Body is the body within an amendment, which is read behind the rest.
func (r *filler) Body(_ int, b entry.Body) entry.Body { return b }

// Group reads items: each begins with the group's word, which is its first
// field too.
func (r *filler) Group(num, n int, grow func(), item func(int, entry.Fields)) {
	w := r.words[num]
	begins := func(i int) bool { return r.phrases[i].key == w.name && !r.used[i] }
	for i := range r.phrases {
		if !begins(i) {
			continue
		}
		end := i + 1
		for end < len(r.phrases) && r.isOfItems(r.phrases[end].key) && r.phrases[end].key != w.name {
			end++
		}
		sub := &filler{verb: r.verb, words: r.verb.items, phrases: r.phrases[i:end], known: r.known}
		grow()
		item(n, sub)
		n++
		r.fail(sub.err)
		if r.used == nil {
			r.used = map[int]bool{}
		}
		for j := i; j < end; j++ {
			r.used[j] = true
		}
	}
}

func (r *filler) isOfItems(key string) bool {
	for _, w := range r.verb.items {
		if w.name == key {
			return true
		}
	}
	return false
}

// newer is a body that a later version of the program writes: of a kind that
// this one does not know, or of a known kind with a field that it does not.
type newer struct {
	kind entry.Kind
	text string
}

// readNewer reads: unknown 77 "words", or unknown fill "words".
func readNewer(ts []token) (entry.Body, error) {
	if len(ts) != 2 {
		return nil, fmt.Errorf("want: unknown KIND \"words\"")
	}
	if v, ok := verbs[ts[0].text]; ok {
		return &newer{v.kind, ts[1].text}, nil
	}
	n, err := strconv.ParseUint(ts[0].text, 10, 14)
	return &newer{entry.Kind(n), ts[1].text}, err
}

// Kind is what the later version numbers it.
func (b *newer) Kind() entry.Kind { return b.kind }

// Fields has one field under a number that no body has yet.
func (b *newer) Fields(f entry.Fields) { f.Text(90, &b.text) }

// Check always passes.
func (b *newer) Check() error { return nil }
