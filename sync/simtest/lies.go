package simtest

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// target reads what every lie begins with: the place that is lied to, and the
// number by which the lie goes.
func (w *World) target(p *Place, ws []token) (*Place, *rand.Rand, error) {
	if len(ws) < 2 {
		return nil, nil, fmt.Errorf("want: PLACE and NUMBER")
	}
	q, err := w.Place(ws[0].text)
	if err != nil {
		return nil, nil, err
	}
	n, err := strconv.ParseUint(ws[1].text, 10, 64)
	if err == nil && (p.Device.IsZero() || p == q) {
		err = fmt.Errorf("%w: %s has no key to lie with", ErrCannot, p.Name)
	}
	return q, rand.New(rand.NewPCG(n, 7)), err
}

// The lies of who answers.
const (
	lieStored     = "stored"     // it holds what it does not, above all of the asker's own log
	lieGeneration = "generation" // it starts anew at each answer
	lieReplay     = "replay"     // it gives what it gave once
	lieWithhold   = "withhold"   // it holds all, it says, and gives only some
)

// answerer is a place that lies in what it answers.
type answerer struct {
	*rand.Rand
	w    *World
	p, q *Place
	how  string
	n    int // answers given
}

// mostAnswers is more round trips than an honest exchange of a day takes.
const mostAnswers = 40

// answers has a place ask one that lies: mal answers house 17 stored.
func (w *World) answers(p *Place, ws []token) error {
	q, r, err := w.target(p, ws)
	if err != nil {
		return err
	}
	if w.Session == nil || len(ws) != 3 {
		return fmt.Errorf("want, where there is a client: PLACE answers PLACE NUMBER LIE")
	}
	f, err := w.forger(p)
	if err != nil {
		return err
	}
	a := &answerer{Rand: r, w: w, p: p, q: q, how: ws[2].text}
	_, err = w.session(q, p, func(req exchange.Request) (exchange.Response, error) {
		if a.n++; a.n > mostAnswers {
			return exchange.Response{}, fmt.Errorf("rule 7: %s is kept by an exchange without end", q.Name)
		}
		return a.answer(f, req)
	})
	if errors.Is(err, ErrEndless) {
		return nil
	}
	return err
}

// answer is an honest answer, changed.
func (a *answerer) answer(f *forger, req exchange.Request) (exchange.Response, error) {
	resp, err := a.w.serve(a.p, req)
	if err != nil {
		return resp, err
	}
	if f.given = append(f.given, resp); len(f.given) > 4 {
		f.given = f.given[1:]
	}
	switch a.how {
	case lieStored:
		a.stored(&resp)
	case lieGeneration:
		resp.Generation, resp.More = exchange.Generation{9, byte(a.n), byte(a.IntN(256))}, true
		if a.IntN(2) == 0 {
			resp.Stored = nil
		}
	case lieReplay:
		resp = f.given[a.IntN(len(f.given))]
		if runs, _, err := a.p.rep.Missing(nil, exchange.UsualBatch); err == nil && a.IntN(2) == 0 {
			resp.Runs = append(slices.Clone(resp.Runs), runs...)
		}
	case lieWithhold:
		resp.Stored, resp.More = resp.Stored.Max(resp.Have), false
		resp.Runs = slices.DeleteFunc(resp.Runs, func(entry.Run) bool { return a.IntN(2) == 0 })
	default:
		err = fmt.Errorf("%q is no lie of who answers", a.how)
	}
	return resp, err
}

// stored claims more of the asker's own log than there is, or another branch of
// it, or that it is forked.
func (a *answerer) stored(resp *exchange.Response) {
	m := a.q.rep.Frontier().Mark(a.q.Device.Log())
	switch a.IntN(3) {
	case 0:
		m.Seq += uint64(1 + a.IntN(3))
	case 1:
		m.Hash[0] ^= 1
	case 2:
		resp.Refusals = append(resp.Refusals, exchange.Refusal{Device: a.q.Device, First: 1, Err: chain.ErrFork})
	}
	if m.Seq > 0 {
		resp.Stored = resp.Stored.With(m)
	}
}

// fakes has a place write in another device's log, under its own key: mal fakes
// house 17 note that x. Nobody may take that.
func (w *World) fakes(p *Place, ws []token) error {
	q, r, err := w.target(p, ws)
	if err != nil {
		return err
	}
	if len(ws) < 3 {
		return fmt.Errorf("want: PLACE fakes PLACE NUMBER WORDS")
	}
	b, err := body(ws[2].text, ws[3:], writer{w, p})
	if err != nil {
		return err
	}
	of := w.places[r.IntN(len(w.places))]
	head, ok := q.rep.Log().Head(of.Device)
	if !ok || of == p {
		return fmt.Errorf("%w: %s holds nothing of %s", ErrCannot, q.Name, of.Name)
	}
	run := entry.Run{Device: of.Device, First: head.Seq + 1}
	if r.IntN(2) == 0 { // with what is held before it
		if runs, _, err := q.rep.Log().Runs(of.Device.Log(), 1, exchange.MaxRun/2); err == nil && len(runs) > 0 && runs[len(runs)-1].Last() == head.Seq {
			run.First = runs[len(runs)-1].First
			run.Entries = slices.Clone(runs[len(runs)-1].Entries)
		}
	}
	raw, err := wire.Encode(&head, w.lie(r, &head, q, b))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrCannot, err)
	}
	head.Advance(raw)
	run.Entries, run.Sig = append(run.Entries, raw), entry.Sign(p.key, head.Hash)
	taken, err := q.rep.Take([]entry.Run{run})
	if err == nil && len(taken.Entries) > 0 {
		return fmt.Errorf("rule 6: %s took as %s's what %s signed", q.Name, of.Name, p.Name)
	}
	return err
}

// crowds has a place bring logs of new devices that ask to join, on an invite
// whose text it has, or on none: mal crowds house 17 formal.
func (w *World) crowds(p *Place, ws []token) error {
	q, r, err := w.target(p, ws)
	if err != nil {
		return err
	}
	many, invite, secret := 2+r.IntN(6), "", keyFor("invite that there is not")
	if len(ws) == 3 {
		invite, secret = ws[2].text, keyFor("invite "+ws[2].text)
	} else {
		many = exchange.MaxStrangers + r.IntN(20)
	}
	if _, err := w.forger(p); err != nil {
		return err
	}
	var runs []entry.Run
	for i := range many {
		run, err := w.asker(fmt.Sprintf("one of a crowd %s %d", ws[1].text, i), secret)
		if err != nil {
			return err
		}
		w.asks(run.Device, invite)
		runs = append(runs, run)
	}
	return w.shows(q, runs)
}

// asker is the log of a new device, that begins with an enrolment.
func (w *World) asker(name string, secret ed25519.PrivateKey) (entry.Run, error) {
	key, d := keyFor(name), deviceFor(name)
	head := chain.Start(w.Farm, d, public(key))
	raw, err := wire.Encode(&head, entry.Draft{Wall: w.Now, Body: &entry.DeviceEnrolled{
		Invite: public(secret), Key: public(key), Name: "of a crowd", Proof: entry.Countersign(secret, w.Farm, d, public(key)),
	}})
	if err != nil {
		return entry.Run{}, err
	}
	head.Advance(raw)
	return entry.Run{Device: d, First: 1, Entries: [][]byte{raw}, Sig: entry.Sign(key, head.Hash)}, nil
}

// floods has a place write until it is refused, and then ever less, until not a
// word more of it is taken: mal floods house 17. What is left of a budget that
// others shared would be nothing.
func (w *World) floods(p *Place, ws []token) error {
	q, _, err := w.target(p, ws)
	if err != nil {
		return err
	}
	f, err := w.forger(p)
	if err != nil {
		return err
	}
	last := f.ends[len(f.ends)-1]
	end := forged{head: last.head.Clone(), raws: slices.Clip(last.raws)}
	if err := w.shows(q, end.runs(p)); err != nil {
		return err
	}
	for sent, size := 0, 3*entry.MaxText; size >= fewBytes && sent < exchange.DayBytes+exchange.DayBytes/4; sent += size {
		next, run, err := w.notes(p, end, size)
		if err != nil {
			return err
		}
		before := q.rep.Have().Entries()
		if err := w.shows(q, []entry.Run{run}); err != nil {
			return err
		}
		if q.rep.Have().Entries() > before {
			end = next
		} else {
			size /= 2 // refused; its writer writes something shorter
		}
	}
	if end.head.Seq > last.head.Seq {
		f.ends = append(f.ends, end)
	}
	return nil
}

// fewBytes is less than an honest note takes.
const fewBytes = 8

// notes goes on from a log with notes of so many bytes together.
func (w *World) notes(p *Place, end forged, size int) (forged, entry.Run, error) {
	next := forged{end.head.Clone(), slices.Clip(end.raws)}
	run := entry.Run{Device: p.Device, First: next.head.Seq + 1}
	for ; size > 0; size -= entry.MaxText {
		raw, err := wire.Encode(&next.head, entry.Draft{Wall: w.Now, Body: &entry.Noted{Text: strings.Repeat("x", min(size, entry.MaxText))}})
		if err != nil {
			return next, run, fmt.Errorf("%w: %w", ErrCannot, err)
		}
		next.head.Advance(raw)
		run.Entries, next.raws = append(run.Entries, raw), append(next.raws, raw)
	}
	run.Sig = entry.Sign(p.key, next.head.Hash)
	return next, run, nil
}
