package client

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"sync"

	"turnrow/sync/entry"
	"turnrow/sync/logstore"
)

// numbersKept is how many numbered writings a home remembers: some of a crew's
// busiest days on one device.
const numbersKept = 256

// between is how many entries of the device's own may come between the note of
// a writing and its first entry: who is let in meanwhile is written beside it.
const between = 16

// numbered is a writing that came under a number, as a home keeps it. It is
// noted before the entries are written: a program that is killed in between
// finds by the record whether they were.
type numbered struct {
	Number string       `json:"number"` // its hash
	Form   string       `json:"form"`   // what it was written with
	Said   string       `json:"said"`   // what it said
	First  string       `json:"first"`  // the ID that its first entry was to have
	Kinds  []entry.Kind `json:"kinds"`
	Wall   int64        `json:"wall"`
	Turn   uint64       `json:"turn"` // counts the writings
}

// numbers are the numbered writings of a home, by their slots.
type numbers struct {
	mu    sync.Mutex
	store *logstore.Store
	slots []numbered // nil before they are read
	last  uint64
}

func slotName(i uint64) string { return fmt.Sprintf("writing.%d", i) }

// hashOf is a text of any length as one that is short to keep.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return base64.RawURLEncoding.EncodeToString(sum[:16])
}

// read brings in what was kept.
func (n *numbers) read() error {
	if n.slots != nil {
		return nil
	}
	slots := make([]numbered, numbersKept)
	for i := range slots {
		v, err := n.store.Setting(slotName(uint64(i)))
		if err != nil {
			return err
		}
		if v != nil && json.Unmarshal(v, &slots[i]) == nil {
			n.last = max(n.last, slots[i].Turn)
		}
	}
	n.slots = slots
	return nil
}

// find is the latest writing that is so.
func (n *numbers) find(is func(numbered) bool) (w numbered, ok bool, err error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if err := n.read(); err != nil {
		return w, false, err
	}
	for _, s := range n.slots {
		if s.Number != "" && s.Turn > w.Turn && is(s) {
			w, ok = s, true
		}
	}
	return w, ok, nil
}

// note keeps a writing, durably.
func (n *numbers) note(w numbered) (numbered, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if err := n.read(); err != nil {
		return w, err
	}
	w.Turn = n.last + 1
	v, err := json.Marshal(w)
	if err != nil {
		return w, err
	}
	slot := w.Turn % numbersKept
	if err := n.store.SetSettings(map[string][]byte{slotName(slot): v}); err != nil {
		return w, err
	}
	n.last, n.slots[slot] = w.Turn, w
	return w, nil
}

// drop forgets a writing of which nothing came. What the disk keeps of it names
// entries that are not there.
func (n *numbers) drop(w numbered) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.slots[w.Turn%numbersKept] = numbered{}
	_ = n.store.SetSettings(map[string][]byte{slotName(w.Turn % numbersKept): nil})
}

// entriesOf are the entries that a writing wrote, none where it was cut short
// before the record took them.
func (f *Farm) entriesOf(w numbered) (ids []entry.ID) {
	id, err := entry.ParseID(w.First)
	if err != nil {
		return nil
	}
	for end := id.Seq + between + uint64(len(w.Kinds)); id.Seq < end && len(ids) < len(w.Kinds); id.Seq++ {
		l, ok := f.Line(id)
		if !ok {
			return nil
		}
		if l.Wall == w.Wall && l.Kind == w.Kinds[len(ids)] {
			ids = append(ids, id)
		} else {
			ids = nil
		}
	}
	if len(ids) < len(w.Kinds) {
		return nil
	}
	return ids
}

// Written gives the entries of the writing that came under a number, if one
// did: also under an earlier run of the program. Of writings long past nothing
// is known.
func (f *Farm) Written(number string) ([]entry.ID, error) {
	if number == "" {
		return nil, nil
	}
	hash := hashOf(number)
	w, ok, err := f.numbers.find(func(w numbered) bool { return w.Number == hash })
	if err != nil || !ok {
		return nil, err
	}
	return f.entriesOf(w), nil
}

// LastSaid gives the entries of the last numbered writing with a form, and when
// that was, in ms since 1970, if it said the same; no entries otherwise.
func (f *Farm) LastSaid(form, said string) (ids []entry.ID, wall int64, err error) {
	form, said = hashOf(form), hashOf(said)
	w, ok, err := f.numbers.find(func(w numbered) bool { return w.Form == form && len(f.entriesOf(w)) > 0 })
	if err != nil || !ok || w.Said != said {
		return nil, 0, err
	}
	return f.entriesOf(w), w.Wall, nil
}

// writeOnce writes the bodies of a numbered writing, once noted.
func (f *Farm) writeOnce(w Writing, first entry.ID, bodies []entry.Body) ([]entry.ID, error) {
	wall := f.now().UnixMilli()
	if w.Number == "" || len(bodies) == 0 {
		return f.writeAt(wall, w.Person, bodies)
	}
	n := numbered{Number: hashOf(w.Number), Form: hashOf(w.Form), Said: hashOf(w.Said), First: first.String(), Wall: wall}
	for _, b := range bodies {
		n.Kinds = append(n.Kinds, b.Kind())
	}
	n, err := f.numbers.note(n)
	if err != nil {
		return nil, err
	}
	ids, err := f.writeAt(wall, w.Person, bodies)
	if err != nil {
		f.numbers.drop(n)
	}
	return ids, err
}
