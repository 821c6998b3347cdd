package simtest

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strconv"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
	"turnrow/sync/wire"
)

// forger is a device with a valid key and a changed program: it goes on from
// whatever entry of its log it likes.
type forger struct {
	ends     []forged
	own      int // of these, the entries of its log as it stood when it began to lie
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
	if len(ws) < 3 {
		return fmt.Errorf("want: PLACE forges PLACE NUMBER WORDS")
	}
	q, err := w.Place(ws[0].text)
	if err != nil {
		return err
	}
	n, err := strconv.ParseUint(ws[1].text, 10, 64)
	if err != nil {
		return err
	}
	if p.Device.IsZero() || p == q {
		return fmt.Errorf("%w: %s has no key to lie with", ErrCannot, p.Name)
	}
	b, err := body(ws[2].text, ws[3:], writer{w, p})
	if err != nil {
		return err
	}
	r := rand.New(rand.NewPCG(n, 7))
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
	_, err = q.rep.Take([]entry.Run{{Device: p.Device, First: 1, Entries: end.raws, Sig: entry.Sign(p.key, end.head.Hash)}})
	q.moved = true
	if q.disk.Dead() {
		return nil
	}
	return err
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
	runs, _, err := p.rep.Log().Runs(p.Device, 1, 1<<30)
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
	w.forgers[p.Name] = f
	return f, nil
}

// lie is a draft of which nothing needs to be so.
func (w *World) lie(r *rand.Rand, h *chain.Head, q *Place, b entry.Body) entry.Draft {
	clocks := []int64{w.Now, w.Now, 0, 1, w.Now + 25*hour, w.Now - 2*365*day, hlc.MaxMillis}
	clock, _ := hlc.At(clocks[r.IntN(len(clocks))], uint16(r.IntN(1<<16)))
	d := entry.Draft{Clock: clock, Wall: clocks[r.IntN(len(clocks))], Body: b}
	for _, m := range q.rep.Frontier() {
		i := h.Peer(m.Device)
		if m.Device == h.Device || r.IntN(3) == 0 || i >= 0 && h.Seen[i] >= m.Seq {
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
	if r.IntN(20) == 0 { // a device that there is not
		d.Seen = append(d.Seen, entry.Mark{Device: deviceFor(fmt.Sprint("nobody ", r.IntN(3))), Seq: 1 + uint64(r.IntN(5))})
	}
	return d
}

// Ended checks what must hold once the founder, who has met everyone, has stopped
// a device that lies: who belongs has the founder at least, everyone writes, and
// the drill can be made ready.
func (w *World) Ended(founder, liar string) error {
	for _, l := range []string{
		"all meet",
		fmt.Sprintf("%s: ended = cutoff device %s why lies", founder, liar),
		fmt.Sprintf("%s: again = drill name again rows 4 spacing 7.5 in counter acres", founder),
		fmt.Sprintf("%s: few = checks version 9 item pin required", founder),
		fmt.Sprintf("%s: anew = hitch by few drill again", founder),
		fmt.Sprintf("%s: sign item 1 of anew", founder),
		"all meet",
	} {
		if err := w.Do(l); err != nil {
			return fmt.Errorf("after the stop: %s: %w", l, err)
		}
	}
	if err := w.refuseAll(founder); err != nil {
		return err
	}
	return w.readyEverywhere(founder, liar)
}

// refuseAll has the founder refuse whoever asks to join still, and release what
// holds are open on the drill.
func (w *World) refuseAll(founder string) error {
	p, err := w.Place(founder)
	if err != nil {
		return err
	}
	for range 3 {
		for _, q := range w.places {
			if d, ok := p.device(q.Device); ok && !d.Joined && !d.Refused {
				_ = w.Do(fmt.Sprintf("%s: admit device %s refused", founder, q.Name))
			}
		}
		_ = w.Do(fmt.Sprintf("%s: release drill again why looked", founder))
		if err := w.Do("all meet"); err != nil {
			return err
		}
	}
	return nil
}

func (w *World) readyEverywhere(founder, liar string) error {
	for _, p := range w.places {
		if p.Name == liar {
			continue
		}
		for _, d := range p.View().Drills {
			if d.Name == "again" && !d.Hitch.Ready {
				var waits []farm.Wait
				p.rep.Read(func(s *farm.State) { waits = s.Waits() })
				return fmt.Errorf("%s: not ready though the founder stopped who lied: %v, %d holds, %d of strangers, waits %v",
					p.Name, d.Hitch.Missing, len(d.Hitch.Holds), len(d.Hitch.Strangers), waits)
			}
		}
		if own, ok := p.device(p.Device); p.Name == founder && (!ok || !own.Joined || own.Stopped || own.Role != entry.Owner) {
			return fmt.Errorf("%s is no owner any more", founder)
		}
		if p.Device.IsZero() || p.Gone() {
			continue
		}
		if err := w.Do(p.Name + ": note that on"); err != nil {
			return fmt.Errorf("%s cannot write: %w", p.Name, err)
		}
	}
	return nil
}
