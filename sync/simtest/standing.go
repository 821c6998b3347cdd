package simtest

import (
	"fmt"
	"maps"
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
)

// hostile is what the world itself knows of who was let in, and by what, beside
// any fold: the rules 6 to 8 are held against it.
type hostile struct {
	// Session is how a client brings a place level with another; nil where places
	// only call each other.
	Session func(*Session) error

	asked map[entry.DeviceID]string // devices that ask to join, by the invite's name; "" for none
	until map[string]int64          // invites, by when they end
	let   map[entry.DeviceID]entered
	lets  map[entry.DeviceID][]chain.Mark // all admissions that honest devices wrote
	began map[entry.DeviceID]farm.Device  // the crew when somebody first lied
	ended map[entry.DeviceID]farm.Device  // and when the founder had stopped that one
}

// entered is an admission that an honest device wrote.
type entered struct {
	invite string
	by     chain.Mark
}

func (h *hostile) asks(d entry.DeviceID, invite string) {
	if h.asked == nil {
		h.asked = map[entry.DeviceID]string{}
	}
	h.asked[d] = invite
}

func (h *hostile) offers(invite string, until int64) {
	if h.until == nil {
		h.until = map[string]int64{}
	}
	h.until[invite] = until
}

// letIn notes that an honest device let somebody in.
func (h *hostile) letIn(b entry.Body, es []entry.Entry) {
	a, ok := b.(*entry.Admitted)
	if !ok || a.Refused || len(es) == 0 {
		return
	}
	if h.let == nil {
		h.let, h.lets = map[entry.DeviceID]entered{}, map[entry.DeviceID][]chain.Mark{}
	}
	h.lets[a.Device] = append(h.lets[a.Device], es[0].Mark())
	h.let[a.Device] = entered{h.asked[a.Device], es[0].Mark()}
}

// mayLetIn checks rule 6 before a device lets somebody in by itself: on an
// invite that has not run out by its own clock, and that nobody was let in on as
// far as it knows.
func (w *World) mayLetIn(p *Place, b entry.Body, wall int64) error {
	a, ok := b.(*entry.Admitted)
	if !ok || w.Session == nil {
		return nil
	}
	invite := w.asked[a.Device]
	if invite == "" {
		return fmt.Errorf("rule 6: %s lets in one that has no invite", p.Name)
	}
	if until, ok := w.until[invite]; ok && wall > until {
		return fmt.Errorf("rule 6: %s lets somebody in on invite %s, which has run out", p.Name, invite)
	}
	for d, e := range w.let {
		if d != a.Device && e.invite == invite && p.Knows(p.id(e.by)) {
			return fmt.Errorf("rule 6: %s lets a second one in on invite %s", p.Name, invite)
		}
	}
	return nil
}

// inTime checks rule 7 of a clock: what others wrote moves a device's own an
// hour beyond its wall clock at most.
func (w *World) inTime(p *Place, clock hlc.Time, wall int64) error {
	if off := clock.Millis() - wall; off < 0 || off > hour {
		return fmt.Errorf("rule 7: the clock of %s stands %d ms from its wall clock", p.Name, off)
	}
	return nil
}

// members is the crew's devices as a place shows them.
func (p *Place) members() map[entry.DeviceID]farm.Device {
	all := map[entry.DeviceID]farm.Device{}
	for _, d := range p.View().Devices {
		if d.Joined {
			all[d.ID] = d
		}
	}
	return all
}

// ends has the founder, who has met everyone, stop a device that lies, and begin
// a hitch: house ends mal. Then, and whenever it is said again after more lies,
// what the rules 6 to 8 promise must hold.
func (w *World) ends(p *Place, ws []token) error {
	if len(ws) != 1 {
		return fmt.Errorf("want: PLACE ends PLACE")
	}
	liar, err := w.Place(ws[0].text)
	if err != nil {
		return err
	}
	if w.began == nil {
		return fmt.Errorf("%w: nobody lied", ErrCannot)
	}
	first := w.ended == nil
	if first {
		if err := w.stopping(p, liar); err != nil {
			return err
		}
	}
	if err := w.refuseAll(p); err != nil {
		return err
	}
	if first {
		w.ended = p.members()
	}
	for _, q := range w.places {
		if q == liar {
			continue
		}
		if err := w.rightful(q, liar); err != nil {
			return fmt.Errorf("rule 6: at %s %w", q.Name, err)
		}
		if err := w.bounded(q, liar); err != nil {
			return fmt.Errorf("rule 8: at %s %w", q.Name, err)
		}
	}
	return w.readyEverywhere(p, liar)
}

// stopping is what the founder does about a device that lies. Somebody new, on
// an invite of hers, joins besides.
func (w *World) stopping(p, liar *Place) error {
	for _, l := range []string{
		"all meet",
		fmt.Sprintf("%s: ended = cutoff device %s why lies", p.Name, liar.Name),
		fmt.Sprintf("%s: again = drill name again rows 4 spacing 7.5 in counter acres", p.Name),
		fmt.Sprintf("%s: few = checks version 9 item pin required", p.Name),
		fmt.Sprintf("%s: anew = hitch by few drill again", p.Name),
		fmt.Sprintf("%s: sign item 1 of anew", p.Name),
		fmt.Sprintf("%s: forlate = invite person Ben", p.Name),
		"late joins by forlate",
		"all meet",
	} {
		if err := w.Do(l); err != nil {
			return fmt.Errorf("rule 7: after the stop: %s: %w", l, err)
		}
	}
	return nil
}

// refuseAll has the founder refuse whoever asks to join still, and release what
// holds are open on the drill, as long as that brings others to light.
func (w *World) refuseAll(p *Place) error {
	for range 8 {
		if err := w.Do("all meet"); err != nil {
			return err
		}
		if n, err := w.refuse(p); err != nil || n == 0 {
			return err
		}
	}
	return nil
}

// refuse has a place refuse whoever it knows to ask.
func (w *World) refuse(p *Place) (n int, err error) {
	var askers []farm.Asker
	p.rep.Read(func(s *farm.State) { askers = s.Askers() })
	for _, a := range askers {
		b := &entry.Admitted{Device: a.Device(), Hash: a.Enrolment.Hash, Refused: true}
		if _, err := p.rep.Record(p.key, p.Device, max(0, w.Now+p.off), entry.Draft{Body: b}); err != nil {
			return n, err
		}
		w.promise(p)
	}
	released := w.Do(fmt.Sprintf("%s: release drill again why looked", p.Name)) == nil
	if len(askers) == 0 && released {
		return 0, w.Do("all meet")
	}
	return len(askers), nil
}

// rightful checks rule 6 at a place, once the founder has stopped who lied:
// nobody came in whom no owner let in, nobody went whom no elder stopped, and
// nothing that was shown since the stop changed it.
func (w *World) rightful(q, liar *Place) error {
	now, owner := q.members(), w.began[liar.Device].Role == entry.Owner
	if d := now[liar.Device]; !d.Stopped {
		return fmt.Errorf("%s is not stopped", liar.Name)
	}
	for _, id := range sortedDevices(now) {
		_, founding := w.began[id]
		if _, let := w.let[id]; !let && !founding && !owner {
			return fmt.Errorf("%s belongs, whom nobody let in", now[id].Name)
		}
		if _, was := w.ended[id]; !was && w.let[id].by.Seq == 0 {
			return fmt.Errorf("%s belongs, and did not when the stop was known", now[id].Name)
		}
	}
	for _, id := range sortedDevices(w.began) {
		was := w.began[id]
		if id == liar.Device || owner && (was.Role != entry.Owner || !w.elder(w.places[0].Device, id, liar.Device)) {
			continue // others, and younger owners, an owner may put out
		}
		if d := now[id]; !d.Joined || d.Stopped || d.Role != was.Role || d.Forked {
			return fmt.Errorf("%s is %s (joined %t, stopped %t, forked %t), and was %s", was.Name, d.Role, d.Joined, d.Stopped, d.Forked, was.Role)
		}
	}
	for _, id := range sortedDevices(w.ended) {
		was, d := w.ended[id], now[id]
		if d.Joined != was.Joined || d.Stopped != was.Stopped || d.Role != was.Role && id != liar.Device {
			return fmt.Errorf("%s is %s (joined %t, stopped %t), and was %s (stopped %t) when the stop was known",
				was.Name, d.Role, d.Joined, d.Stopped, was.Role, was.Stopped)
		}
	}
	return nil
}

// elder says whether an owner's device surely is elder than another: the founder
// is, and who was let in by her alone before that one was by anybody.
func (h *hostile) elder(founder, a, b entry.DeviceID) bool {
	if a == founder {
		return true
	}
	for _, x := range h.lets[a] {
		for _, y := range h.lets[b] {
			if x.Log != founder.Log() || y.Log == founder.Log() && y.Seq < x.Seq {
				return false
			}
		}
	}
	return true
}

func sortedDevices(m map[entry.DeviceID]farm.Device) []entry.DeviceID {
	return slices.SortedFunc(maps.Keys(m), entry.DeviceID.Compare)
}

// bounded checks rule 8 at a place: what it stores for who lies, and for those
// who ask to join, is bounded. Who had no invite yet when a log came that waits
// on it, which the founder never is, keeps it as a stranger's.
func (w *World) bounded(q, liar *Place) error {
	_, most, _ := exchange.Budget(Morning, w.Now+q.ahead)
	if b, ok := q.rep.Log().(exchange.Branching); ok {
		if _, n := b.Stored(liar.Device); n > most+2*exchange.MaxRun {
			return fmt.Errorf("%d bytes of %s are kept, of %d", n, liar.Name, most)
		}
	}
	waits := map[string]int{}
	for _, m := range q.rep.Frontier() {
		d, _ := q.device(m.Log.Device())
		invite, asks := w.asked[m.Log.Device()]
		if !asks || d.Joined || d.Refused {
			continue
		}
		waits[invite]++
		if n := waits[invite]; q == w.places[0] && invite != "" && n > exchange.InviteLogs || n > exchange.MaxStrangers {
			return fmt.Errorf("%d logs wait on invite %q", n, invite)
		}
	}
	return nil
}

// readyEverywhere checks rule 7: all honest devices write, and show the drill
// ready.
func (w *World) readyEverywhere(founder, liar *Place) error {
	for _, p := range w.places {
		if d, ok := founder.device(p.Device); p == liar || !p.Device.IsZero() && (!ok || !d.Joined) {
			continue // who asks to join may have had no room anywhere
		}
		for _, d := range p.View().Drills {
			if d.Name == "again" && !d.Hitch.Ready {
				var waits []farm.Wait
				p.rep.Read(func(s *farm.State) { waits = s.Waits() })
				return fmt.Errorf("rule 7: %s: not ready though %s stopped who lied: %v, %d holds, %d of strangers, waits %v",
					p.Name, founder.Name, d.Hitch.Missing, len(d.Hitch.Holds), len(d.Hitch.Strangers), waits)
			}
		}
		if p.Device.IsZero() {
			continue
		}
		if err := w.Do(p.Name + ": note that on"); err != nil {
			return fmt.Errorf("rule 7: %s cannot write: %w", p.Name, err)
		}
	}
	if d, ok := founder.device(deviceFor("late")); !ok || !d.Joined {
		return fmt.Errorf("rule 7: who has an invite of %s is not let in", founder.Name)
	}
	return nil
}
