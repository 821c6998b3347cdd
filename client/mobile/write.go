package mobile

import (
	"encoding/json"
	"errors"

	"turnrow/client"
	"turnrow/client/answer"
	"turnrow/client/report"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Record writes what somebody did, by an intent as JSON: an object whose key
// "intent" says which, beside the fields of that, as people type them:
//
//	{"intent": "fill", "box": "grain", "lot": "O-1", "bags": 3}
//	{"intent": "level", "box": "grain", "share": "1/4", "reading": "10.2"}
//
// Values are texts, numbers, true or false, or lists of them. INTENTS.md lists
// the intents and their fields.
//
// It gives an answer.Claim; what does not count is kept, and told there. Where
// something is unlikely, nothing is written and it gives an answer.Asked, whose
// key is "ask": put the questions to a person, and call again with the answers
// that they chose, a JSON list of answer.Given; empty for none. A person who is
// not there to answer is asked later, as a doubt: "anyway" in place of the
// answers has it written as it is.
//
// Errors are no-farm, no-identity, copied, refused, left-out and disk.
func (h *Home) Record(intent, answers string) (string, error) {
	f, err := h.farm()
	if err != nil {
		return "", err
	}
	w := client.Writing{Anyway: answers == "anyway"}
	if answers != "" && !w.Anyway {
		if err := json.Unmarshal([]byte(answers), &w.Answers); err != nil {
			return "", refused("answers", err)
		}
	}
	typed, err := parse(intent)
	if err != nil {
		return "", err
	}
	w.Build = func(look client.Look, next func(int) entry.ID) ([]entry.Body, error) {
		build, err := read(f, look, typed)
		if err != nil {
			return nil, err
		}
		return build(look, next)
	}
	ids, err := f.Ask(h.ends, w)
	var open *client.Unanswered
	if errors.As(err, &open) {
		return asked(open)
	}
	if err != nil {
		return "", failed(err)
	}
	return claim(f, ids)
}

func asked(open *client.Unanswered) (string, error) {
	var a answer.Asked
	for i := range open.Questions {
		a.Ask = append(a.Ask, report.Question(&open.Questions[i]))
	}
	return text(a)
}

// claim tells of what was written, and whether all of it counts.
func claim(f *client.Farm, ids []entry.ID) (string, error) {
	a := answer.Claim{Entries: []string{}, Counts: true}
	for _, id := range ids {
		a.Entries = append(a.Entries, id.String())
		if l, ok := f.Line(id); ok && (l.LeftOut != "" || l.NotSigned()) {
			a.Counts = false
		}
	}
	if len(ids) > 0 {
		a.Entry = a.Entries[0]
	}
	return text(a)
}

// said is an intent whose fields are pairs of name and text.
func said(intent string, pairs ...string) string {
	fields := map[string]string{"intent": intent}
	for i := 0; i < len(pairs); i += 2 {
		fields[pairs[i]] = pairs[i+1]
	}
	b, _ := json.Marshal(fields) // of texts alone there is no error
	return string(b)
}

// Fill records seed of a lot poured into a box: bags, such as 3 or 2 1/2, or a
// mass, such as 50 lb; give one and leave the other empty. It gives and fails as
// Record does; to answer a question, call that.
func (h *Home) Fill(box, lot, bags, mass string) (string, error) {
	in := said("fill", "box", box, "lot", lot, "bags", bags, "mass", mass)
	return h.Record(in, "")
}

// Dial records that a box's dial was moved: to a number or a mark that it has, and
// why. The side is a compartment with a dial of its own, by its name or number
// from 1; else empty. It gives and fails as Record does.
func (h *Home) Dial(box, side, to, why string) (string, error) {
	in := said("dial", "box", box, "side", side, "to", to, "why", why)
	return h.Record(in, "")
}

// Reading records what a drill's counter shows, in the counter's own unit, and
// the piece of ground that was worked since the reading before. An empty drill is
// the farm's only one. It gives and fails as Record does.
func (h *Home) Reading(drill, counter, ground string) (string, error) {
	in := said("read", "drill", drill, "reading", counter, "ground", ground)
	return h.Record(in, "")
}

// Note records a note: about box:NAME, ground:NAME, lot:NAME, drill:NAME,
// person:NAME or an entry's ID, or, where that is empty, about the day. It gives
// and fails as Record does.
func (h *Home) Note(text, about string) (string, error) {
	in := said("note", "text", text, "about", about)
	return h.Record(in, "")
}

// Hold records that somebody says stop: nobody works the drill until the hold is
// released. An empty drill is every one. It asks nothing, so that whoever says
// stop is heard. It gives and fails as Record does.
func (h *Home) Hold(drill, why string) (string, error) {
	in := said("hold", "drill", drill, "why", why)
	return h.Record(in, "anyway")
}

// Sign records that somebody saw to a check of the hitch that they were shown: its
// ID is begun in answer.Hitched, the check's number, from 1, item in
// answer.ToSign. An empty drill is the farm's only one. It gives and fails as
// Record does; refused is also a hitch that was begun anew meanwhile.
func (h *Home) Sign(drill, begun string, item int64) (string, error) {
	in, err := text(map[string]any{"intent": "sign", "drill": drill, "hitch": begun, "items": []int64{item}})
	if err != nil {
		return "", err
	}
	return h.Record(in, "")
}

// Settle says which reading of a doubt stands, by the word of one of its choices,
// and how somebody knows. For two settings of a dial the choice is what the dial
// shows. The figure goes with the choice began-at alone: what the counter showed
// when work began. It gives and fails as Record does.
func (h *Home) Settle(doubt, choice, figure, why string) (string, error) {
	in := said("settle", "doubt", doubt, "stands", choice, "value", figure, "why", why)
	return h.Record(in, "")
}

// dialOf is the box and side that a doubt of two settings is about.
func dialOf(f *client.Farm, v *farm.View, d *words.Doubt) (box farm.Box, side int64) {
	for _, id := range d.Entries {
		l, _ := f.Line(id)
		if m, ok := l.Body.(*entry.DialMoved); ok {
			box, _ = v.BoxOf(m.Box)
			side = m.Side
		}
	}
	return box, side
}
