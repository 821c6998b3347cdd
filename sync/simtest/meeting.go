package simtest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/wire"
)

// letter is a call under way: what was asked, and the last answer to it.
type letter struct {
	from, to string
	req      exchange.Request
	answer   *exchange.Response
}

// request is what a place would say to another now: what it has, and what it
// believes the other lacks.
func (w *World) request(p, q *Place, most int) (exchange.Request, error) {
	runs, _, err := p.rep.Missing(p.peers[q.Name], most)
	return exchange.Request{Farm: w.Farm, Have: p.rep.Have(), Runs: runs, MaxBytes: most, ReadsBrief: true}, err
}

// serve has a place answer a call.
func (w *World) serve(q *Place, req exchange.Request) (exchange.Response, error) {
	before, asked := q.rep.Have().Entries(), req
	req, err := wire.Request(wire.RequestOut(req)) // under short names
	if err != nil {
		return exchange.Response{}, err
	}
	resp, err := q.rep.Exchange(req)
	if q.disk.Dead() {
		return resp, errPower
	}
	if err == nil {
		resp, err = wire.Response(wire.ResponseOut(resp), asked)
	}
	if err != nil {
		return resp, err
	}
	q.moved = q.moved || q.rep.Have().Entries() > before
	w.promise(q)
	w.told = append(w.told, resp.Stored...)
	return resp, w.right(q, resp.Refusals)
}

// errPower is a call that ended because a place lost its power.
var errPower = errors.New("power went")

// right says whether a place refused runs for a reason that no honest crew can
// meet. One that goes on from another branch of a forked log than its receiver
// holds looks forged to that one, until the branch has been shown.
func (w *World) right(q *Place, refused []exchange.Refusal) error {
	for _, r := range refused {
		if errors.Is(r.Err, entry.ErrSignature) && w.diverged(q, r.Device) || w.lies(r.Device) {
			continue
		}
		bound := errors.Is(r.Err, exchange.ErrStranger) || errors.Is(r.Err, exchange.ErrInviteFull)
		if !errors.Is(r.Err, chain.ErrGap) && !errors.Is(r.Err, chain.ErrFork) && !bound {
			return fmt.Errorf("rule 7: %s does not store what an honest device wrote: %w", q.Name, r.Err)
		}
	}
	return nil
}

// diverged says whether a place holds another branch of a device's log than some
// other place.
func (w *World) diverged(q *Place, d entry.DeviceID) bool {
	for _, p := range w.places {
		for _, ps := range [][2]*Place{{p, q}, {q, p}} {
			if is, _, err := ps[0].rep.Log().Diverged(ps[1].rep.Frontier().Mark(d.Log())); err == nil && is {
				return true
			}
		}
	}
	return false
}

// hear has a place take in an answer.
func (w *World) hear(p, q *Place, resp exchange.Response) (int, error) {
	n, err := w.take(p, resp.Runs)
	if err == nil {
		p.peers[q.Name] = resp.Stored
	}
	return n, err
}

// take has a place take in runs, and gives the number of new entries.
func (w *World) take(p *Place, runs []entry.Run) (int, error) {
	before := p.rep.Have().Entries()
	taken, err := p.rep.Take(runs)
	if p.disk.Dead() {
		return 0, errPower
	}
	if err != nil {
		return 0, err
	}
	p.moved = p.moved || p.rep.Have().Entries() > before
	w.promise(p)
	return len(taken.Entries), w.right(p, taken.Refused)
}

// calls is one call: cab calls server [bytes 300] [lost|unanswered|twice].
func (w *World) calls(p *Place, ws []token) error {
	if len(ws) == 0 {
		return fmt.Errorf("want: PLACE calls PLACE")
	}
	q, err := w.Place(ws[0].text)
	if err != nil || p == q {
		return err
	}
	most, fate := exchange.UsualBatch, ""
	for i := 1; i < len(ws); i++ {
		if ws[i].text == "bytes" && i+1 < len(ws) {
			if most, err = strconv.Atoi(ws[i+1].text); err != nil {
				return err
			}
			i++
			continue
		}
		fate = ws[i].text
	}
	return notPower(w.call(p, q, most, fate))
}

// notPower drops the error of a call that a power cut ended.
func notPower(err error) error {
	if errors.Is(err, errPower) {
		return nil
	}
	return err
}

func (w *World) call(p, q *Place, most int, fate string) error {
	req, err := w.request(p, q, most)
	if err != nil || fate == "lost" {
		return err
	}
	resp, err := w.serve(q, req)
	if err == nil && fate == "twice" {
		resp, err = w.serve(q, req)
	}
	if err != nil || fate == "unanswered" {
		return err
	}
	_, err = w.hear(p, q, resp)
	return err
}

// rounds is more calls than any two places need to be level.
const rounds = 60

// level has two places call until neither lacks anything that the other can
// give.
func (w *World) level(p, q *Place) (moved bool, err error) {
	if w.Session != nil {
		return w.session(p, q, func(req exchange.Request) (exchange.Response, error) { return w.serve(q, req) })
	}
	still := 0 // calls in a row that moved nothing
	for range rounds {
		before := p.rep.Have().Entries() + q.rep.Have().Entries()
		req, err := w.request(p, q, exchange.UsualBatch)
		if err != nil {
			return moved, err
		}
		resp, err := w.serve(q, req)
		if err != nil {
			return moved, err
		}
		if _, err = w.hear(p, q, resp); err != nil {
			return moved, err
		}
		if p.rep.Have().Entries()+q.rep.Have().Entries() > before || resp.More {
			moved, still = true, 0
			continue
		}
		if still++; still > 1 { // the second call went by what the first one heard
			return moved, nil
		}
	}
	return moved, fmt.Errorf("%s and %s are not level after %d calls", p.Name, q.Name, rounds)
}

func (w *World) meets(p *Place, ws []token) error {
	ps := []*Place{p}
	for _, t := range ws {
		q, err := w.Place(t.text)
		if err != nil {
			return err
		}
		ps = append(ps, q)
	}
	return w.quiet(ps)
}

// quiet has places meet until nobody has news.
func (w *World) quiet(ps []*Place) error {
	for range rounds {
		news := false
		for i, p := range ps {
			for _, q := range ps[:i] {
				moved, err := w.level(p, q)
				if errors.Is(err, errPower) {
					if err := w.after(); err != nil {
						return err
					}
					moved, err = true, nil
				}
				if err != nil {
					return err
				}
				news = news || moved
			}
		}
		for _, p := range ps {
			if wrote, err := w.admit(p); err != nil {
				return err
			} else if wrote {
				news = true
			}
		}
		if !news {
			return nil
		}
	}
	return fmt.Errorf("no quiet after %d rounds", rounds)
}

// posts starts a call that stays under way: cab posts m1 to server.
func (w *World) posts(p *Place, ws []token) error {
	if len(ws) != 3 || ws[1].text != "to" {
		return fmt.Errorf("want: PLACE posts NAME to PLACE")
	}
	q, err := w.Place(ws[2].text)
	if err != nil || p == q {
		return err
	}
	req, err := w.request(p, q, exchange.UsualBatch)
	w.mail[ws[0].text] = &letter{from: p.Name, to: q.Name, req: req}
	return err
}

func (w *World) arrive(name string) error {
	m, ok := w.mail[name]
	if !ok {
		return fmt.Errorf("%w: no %s is under way", ErrCannot, name)
	}
	q, err := w.Place(m.to)
	if err != nil {
		return err
	}
	resp, err := w.serve(q, m.req)
	if err == nil {
		m.answer = &resp
	}
	return notPower(err)
}

func (w *World) returns(name string) error {
	m, ok := w.mail[name]
	if !ok || m.answer == nil {
		return fmt.Errorf("%w: no answer to %s is under way", ErrCannot, name)
	}
	p, err := w.Place(m.from)
	if err != nil {
		return err
	}
	q, err := w.Place(m.to)
	if err != nil {
		return err
	}
	_, err = w.hear(p, q, *m.answer)
	return notPower(err)
}

// carries writes all that a place holds to a file: cab carries c1.
func (w *World) carries(p *Place, ws []token) error {
	if len(ws) != 1 {
		return fmt.Errorf("want: PLACE carries NAME")
	}
	var out bytes.Buffer
	have := p.rep.Frontier()
	file, err := wire.NewCarryWriter(&out, wire.CarryHeader{Farm: w.Farm, Device: p.Device, Have: have})
	if err != nil {
		return err
	}
	var sent chain.Frontier
	for more := true; more; {
		var runs []entry.Run
		if runs, more, err = p.rep.Missing(sent, exchange.MaxBatch); err != nil {
			return err
		}
		for i := range runs {
			if err := file.Run(&runs[i]); err != nil {
				return err
			}
			sent = sent.With(chain.Mark{Log: runs[i].Device.Log(), Seq: runs[i].Last()})
		}
	}
	err = file.Close()
	w.files[ws[0].text] = slices.Clone(out.Bytes())
	return err
}

// takes reads a file in: house takes c1 [cut 40%].
func (w *World) takes(p *Place, ws []token) error {
	if len(ws) == 0 {
		return fmt.Errorf("want: PLACE takes NAME")
	}
	data, ok := w.files[ws[0].text]
	if !ok {
		return fmt.Errorf("%w: there is no file %s", ErrCannot, ws[0].text)
	}
	if len(ws) == 3 && ws[1].text == "cut" {
		n, err := strconv.Atoi(strings.TrimSuffix(ws[2].text, "%"))
		if err != nil || n < 0 || n > 100 {
			return fmt.Errorf("%q is no part of a file", ws[2].text)
		}
		data = data[:len(data)*n/100]
	}
	file, _, err := wire.NewCarryReader(bytes.NewReader(data))
	for err == nil {
		var run entry.Run
		if run, err = file.Next(); err == nil {
			_, err = w.take(p, []entry.Run{run})
		}
	}
	if err == io.EOF || errors.Is(err, wire.ErrCarry) {
		return nil
	}
	return notPower(err)
}
