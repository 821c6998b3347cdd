package client

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"

	"turnrow/client/answer"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Writing is entries that somebody wants written, and what they have answered
// so far to what was asked about them.
type Writing struct {
	Person  entry.ID // who did it; zero is the device's own
	Build   Build
	Answers []Answer
	// Anyway has them written without a question: what is unlikely stays in
	// doubt until a person settles it.
	Anyway bool
	// Number is by which whoever writes knows this writing again: what comes a
	// second time under one is not written a second time, and gives the entries
	// of the first, also after the program was started again. Empty: none.
	Number string
	// Form and Said are kept with the number, for LastSaid.
	Form, Said string
}

// Bodies builds what is known beforehand.
func Bodies(bodies ...entry.Body) Build {
	return func(Look, func(int) entry.ID) ([]entry.Body, error) { return slices.Clone(bodies), nil }
}

// Question is about a body that is unlikely to be as it is about to be written.
// Its doubt says why, and has the readings to choose from: the first is as
// written.
type Question struct {
	words.Doubt
	Body int // which of the bodies, from 0
}

// Answer is one of a question's choices, chosen by a person.
type Answer = answer.Given

// Answer answers the question by one of its choices.
func (q *Question) Answer(c words.Choice) Answer {
	return Answer{Kind: string(q.Kind), Body: q.Body, Choice: c.Word, Value: c.Value.Val}
}

// Instead is the likeliest other reading, in words; empty where there is none.
func (q *Question) Instead() string {
	for _, c := range q.Choices {
		if c.Word == entry.Instead {
			return c.Figure
		}
	}
	return ""
}

// Unanswered reports that nothing was written, since something in it is
// unlikely and nobody has said yet whether it is so.
type Unanswered struct{ Questions []Question }

func (u *Unanswered) Error() string {
	text := "not written: " + u.Questions[0].Why
	if n := len(u.Questions); n > 1 {
		text += fmt.Sprintf(" (and %d more questions)", n-1)
	}
	return text
}

// ErrLeftOut is returned where a person answered that nothing was to be written
// at all.
var ErrLeftOut = errors.New("nothing was written: it was left out, as chosen")

// Ask writes entries as RecordWith does, but asks first: where something in
// them is unlikely and not answered, nothing is written and the error is an
// *Unanswered. An answer that it is as written is recorded beside the entry, and
// settles its doubt; one of another reading has that written in its place. Where
// all is left out by the answers, the error is ErrLeftOut.
func (f *Farm) Ask(ctx context.Context, w Writing) ([]entry.ID, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f.writing.Lock() // nobody else's entries come between, so that the IDs are right
	defer f.writing.Unlock()
	me, err := f.writes()
	if err != nil {
		return nil, err
	}
	if ids, err := f.Written(w.Number); err != nil || len(ids) > 0 {
		return ids, err
	}
	first := f.replica.Frontier().Seq(me.device.Log()) + 1
	next := func(i int) entry.ID { return entry.ID{Log: me.device.Log(), Seq: first + uint64(i)} }
	bodies, err := w.Build(sync.OnceValue(f.View), next)
	if err != nil || w.Anyway {
		return f.writeBuilt(w, next(0), bodies, err)
	}
	by := farm.Writer{Device: me.device, Person: w.Person, Wall: f.now().UnixMilli()}
	a := asking{answers: slices.Clone(w.Answers), bodies: bodies, next: next, words: f.words()}
	for range maxRounds {
		if !a.round(f.replica.Unlikely(by, a.bodies...)) {
			break
		}
	}
	if len(a.open) > 0 {
		return nil, &Unanswered{a.open}
	}
	if len(a.bodies) == 0 && len(bodies) > 0 {
		return nil, ErrLeftOut
	}
	return f.writeOnce(w, next(0), append(a.bodies, a.yes...))
}

// maxRounds bounds how often another reading may raise another question: each
// answer is used once.
const maxRounds = 16

func (f *Farm) writeBuilt(w Writing, first entry.ID, bodies []entry.Body, err error) ([]entry.ID, error) {
	if err != nil {
		return nil, err
	}
	return f.writeOnce(w, first, bodies)
}

// asking is bodies with the answers to what is asked about them.
type asking struct {
	answers []Answer
	bodies  []entry.Body
	next    func(int) entry.ID
	words   words.Words
	open    []Question
	yes     []entry.Body // settlements that go beside the bodies
}

// round takes up the answers to what is unlikely. It says whether one changed a
// body, so that all is to be looked at again.
func (a *asking) round(unlikely []farm.Doubt) (again bool) {
	a.open, a.yes = nil, nil
	for _, d := range unlikely {
		q := Question{a.words.Doubt(d), a.indexOf(d)}
		i := slices.IndexFunc(a.answers, func(x Answer) bool { return x.Kind == string(q.Kind) && x.Body == q.Body })
		if i < 0 {
			a.open = append(a.open, q)
			continue
		}
		c := slices.IndexFunc(q.Choices, func(c words.Choice) bool { return q.Answer(c) == a.answers[i] })
		switch {
		case c < 0:
			a.open = append(a.open, q)
		case q.Choices[c].Say == "": // written as it is, and in doubt
		case !a.isBody(q.Body, q.Choices[c].Of):
			a.yes = append(a.yes, q.Settling(q.Choices[c].Choice, "", q.Choices[c].What)...)
		default:
			a.answers = slices.Delete(a.answers, i, i+1)
			a.take(q.Choices[c], q.Body)
			return true
		}
	}
	return false
}

// isBody says whether an entry is one of the bodies, or the one that it amends.
func (a *asking) isBody(i int, of entry.ID) bool {
	am, amends := a.bodies[i].(*entry.Amended)
	return of == a.next(i) || amends && of == am.Entry
}

// take puts a choice's body in the place of the one that it is about, and what
// goes with it in the place of others; what that says of entries that are
// written already goes beside them.
func (a *asking) take(c words.Choice, about int) {
	for _, b := range c.With {
		am := b.(*entry.Amended)
		if i := a.drafted(am.Entry); i >= 0 {
			a.put(i, am.Body)
		} else {
			a.bodies = append(a.bodies, am)
		}
	}
	a.put(about, c.Body)
}

// drafted is which of the bodies an entry will be, -1 for none.
func (a *asking) drafted(id entry.ID) int {
	for i := range a.bodies {
		if a.next(i) == id {
			return i
		}
	}
	return -1
}

// put puts another body in the place of one, or none.
func (a *asking) put(i int, b entry.Body) {
	am, amends := a.bodies[i].(*entry.Amended)
	switch {
	case b == nil:
		a.bodies = slices.Delete(a.bodies, i, i+1)
	case amends:
		a.bodies[i] = &entry.Amended{Entry: am.Entry, Why: am.Why, Body: b}
	default:
		a.bodies[i] = b
	}
}

// indexOf is the last of the bodies that a doubt is about.
func (a *asking) indexOf(d farm.Doubt) int {
	for i := len(a.bodies) - 1; i >= 0; i-- {
		am, _ := a.bodies[i].(*entry.Amended)
		if slices.Contains(d.Entries, a.next(i)) || am != nil && slices.Contains(d.Entries, am.Entry) {
			return i
		}
	}
	return 0
}
