package simtest

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// forger is a device with a valid key and a changed program: it goes on from
// whatever entry of its log it likes.
type forger struct {
	ends     []forged
	given    []exchange.Response // what it answered lately
	own      int                 // of these, the entries of its log as it stood when it began to lie
	branches int
}

// forged is a log up to some entry of it.
type forged struct {
	head chain.Head
	raws [][]byte
}

// mostBranches are beyond those that a replica keeps as they come.
const mostBranches = exchange.MaxForks + 4

// forge writes an entry that lies, and shows it to a place: mal forges yard 17
// hold why pin. What lies in it (its clocks, what it says that its writer had
// seen, the branch, the person) goes by the number.
func (w *World) forge(p *Place, ws []token) error {
	q, r, err := w.target(p, ws)
	if err != nil {
		return err
	}
	if len(ws) < 3 {
		return fmt.Errorf("want: PLACE forges PLACE NUMBER WORDS")
	}
	b, err := body(ws[2].text, ws[3:], writer{w, p})
	if err != nil {
		return err
	}
	f, err := w.forger(p)
	if err != nil {
		return err
	}
	from := &f.ends[len(f.ends)-1]
	if f.branches < mostBranches && r.IntN(3) == 0 {
		from = &f.ends[f.own-1+r.IntN(len(f.ends)-f.own+1)]
	}
	end := forged{head: from.head.Clone(), raws: append([][]byte{}, from.raws...)}
	raw, err := wire.Encode(&end.head, w.lie(r, &end.head, q, b))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrCannot, err)
	}
	end.head.Advance(raw)
	end.raws = append(end.raws, raw)
	if end.head.Seq <= f.ends[len(f.ends)-1].head.Seq {
		f.branches++
	}
	f.ends = append(f.ends, end)
	w.Now += minute
	return w.shows(q, end.runs(p))
}

// undoes has a place that lies stop a device, of which it says that it had seen
// nothing more, and take in again what that took, or a branch that nobody wrote:
// mal undoes house 17 cab.
func (w *World) undoes(p *Place, ws []token) error {
	q, r, err := w.target(p, ws)
	if err != nil {
		return err
	}
	if len(ws) != 3 {
		return fmt.Errorf("want: PLACE undoes PLACE NUMBER PLACE")
	}
	last, err := writer{w, q}.device(ws[2].text)
	if err != nil {
		return err
	}
	f, err := w.forger(p)
	if err != nil {
		return err
	}
	from := &f.ends[f.own-1]
	end := forged{head: from.head.Clone(), raws: slices.Clone(from.raws)}
	stop := entry.Draft{Wall: w.Now, Body: &entry.DeviceStopped{Last: last, Why: "lost"}}
	taking := entry.Draft{Wall: w.Now, Seen: unseen(&end.head, q)}
	if r.IntN(2) == 0 {
		last.Hash[0] ^= 1
	}
	taking.Body = &entry.DeviceTakenIn{Last: last, Why: "found"}
	for _, d := range []entry.Draft{stop, taking} {
		raw, err := wire.Encode(&end.head, d)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrCannot, err)
		}
		end.head.Advance(raw)
		end.raws = append(end.raws, raw)
	}
	if len(f.ends) > f.own {
		f.branches++
	}
	f.ends = append(f.ends, end)
	return w.shows(q, end.runs(p))
}

// unseen is what a place holds that a log's writer has not said it had seen.
func unseen(h *chain.Head, q *Place) chain.Frontier {
	return slices.DeleteFunc(slices.Clone(q.rep.Frontier()), func(m chain.Mark) bool {
		i := h.Peer(m.Log)
		return m.Log == h.Log || i >= 0 && h.Seen[i] >= m.Seq
	})
}

// shows has a place take what one that lies brings.
func (w *World) shows(q *Place, runs []entry.Run) error {
	_, err := q.rep.Take(runs)
	q.moved = true
	if q.disk.Dead() {
		return nil
	}
	return err
}

// runs are a log from its first entry on, cut and signed so that each run is
// within its bounds.
func (f *forged) runs(p *Place) (runs []entry.Run) {
	hash := entry.FirstHash(f.head.Farm, p.Device)
	run := entry.Run{Device: p.Device, First: 1}
	for _, raw := range f.raws {
		if len(run.Entries) > 0 && run.Size()+len(raw) > exchange.MaxRun {
			run.Sig = entry.Sign(p.key, hash)
			runs = append(runs, run)
			run = entry.Run{Device: p.Device, First: run.Last() + 1}
		}
		run.Entries = append(run.Entries, raw)
		hash = entry.NextHash(hash, raw)
	}
	run.Sig = entry.Sign(p.key, hash)
	return append(runs, run)
}

// forger is a place's own log, taken apart the first time that it lies.
func (w *World) forger(p *Place) (*forger, error) {
	if w.forgers == nil {
		w.forgers = map[string]*forger{}
	}
	if f := w.forgers[p.Name]; f != nil {
		return f, nil
	}
	f := &forger{}
	at := forged{head: chain.Start(w.Farm, p.Device, public(p.key))}
	runs, _, err := p.rep.Log().Runs(p.Device.Log(), 1, 1<<30)
	if err != nil {
		return nil, err
	}
	for _, run := range runs {
		for _, raw := range run.Entries {
			at = forged{head: at.head.Clone(), raws: append(at.raws[:len(at.raws):len(at.raws)], bytes.Clone(raw))}
			if _, err := wire.Decode(&at.head, raw); err != nil {
				return nil, err
			}
			f.ends = append(f.ends, at)
		}
	}
	if len(f.ends) == 0 {
		return nil, fmt.Errorf("%w: %s has no log", ErrCannot, p.Name)
	}
	f.own = len(f.ends)
	if w.forgers[p.Name] = f; w.began == nil {
		w.began = w.places[0].members()
	}
	return f, nil
}

// lie is a draft of which nothing needs to be so.
func (w *World) lie(r *rand.Rand, h *chain.Head, q *Place, b entry.Body) entry.Draft {
	clocks := []int64{w.Now, w.Now, 0, 1, w.Now + 25*hour, w.Now - 2*365*day, hlc.MaxMillis}
	clock, _ := hlc.At(clocks[r.IntN(len(clocks))], uint16(r.IntN(1<<16)))
	d := entry.Draft{Clock: clock, Wall: clocks[r.IntN(len(clocks))], Body: b}
	for _, m := range q.rep.Frontier() {
		i := h.Peer(m.Log)
		if m.Log == h.Log || r.IntN(3) == 0 || i >= 0 && h.Seen[i] >= m.Seq {
			continue
		}
		switch r.IntN(12) {
		case 0: // entries that nobody wrote
			m.Seq += uint64(1 + r.IntN(1000))
		case 1: // another branch, that nobody wrote
			m.Hash[0] ^= 1
		}
		d.Seen = append(d.Seen, m)
	}
	if crew := q.View().Crew; len(crew) > 0 && r.IntN(4) == 0 { // in another's name
		d.Person = crew[r.IntN(len(crew))].ID
	}
	if r.IntN(20) == 0 { // a device that there is not
		d.Seen = append(d.Seen, entry.Mark{Log: deviceFor(fmt.Sprint("nobody ", r.IntN(3))).Log(), Seq: 1 + uint64(r.IntN(5))})
	}
	return d
}
