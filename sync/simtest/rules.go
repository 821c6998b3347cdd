package simtest

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/replica"
	"turnrow/sync/simtest/naive"
	"turnrow/sync/wire"
)

// Safe checks rule 4 at a place: it never shows ready while it holds a hold
// that is not released, or a required item is not signed for this hitch by
// someone who may.
func (w *World) Safe(p *Place) error {
	v := p.View()
	if !slices.ContainsFunc(v.Drills, func(d farm.Drill) bool { return d.Hitch.Ready }) {
		return nil
	}
	es, branches := p.Record()
	return safe(naive.Replay(w.Farm, es, branches...), v)
}

func safe(f *naive.Fold, v *farm.View) error {
	for _, d := range v.Drills {
		if h := f.Hitch(d.ID); d.Hitch.Ready && !h.Ready {
			return fmt.Errorf("rule 4: drill %s shows ready, but %s (%d holds, %d wait)", d.Name, h.Why, len(h.Holds), f.Waiting)
		}
	}
	return nil
}

// Plain checks that the naive fold of what a place holds answers as the place
// does.
func (w *World) Plain(p *Place) error {
	es, branches := p.Record()
	f := naive.Replay(w.Farm, es, branches...)
	c := comparison{w: w, f: f, v: p.View()}
	p.rep.Read(func(s *farm.State) { c.s = s; c.all() })
	if len(c.differs) == 0 {
		return nil
	}
	return fmt.Errorf("the plain fold differs:\n  %s", strings.Join(c.differs, "\n  "))
}

// PlainOf is Plain for a replica of no world's.
func PlainOf(r *replica.Replica) error {
	w := &World{Farm: r.Farm()}
	return w.Plain(&Place{rep: r})
}

// comparison holds a state against the naive fold of the same entries.
type comparison struct {
	w       *World
	f       *naive.Fold
	s       *farm.State
	v       *farm.View
	differs []string
}

func (c *comparison) say(format string, args ...any) {
	c.differs = append(c.differs, fmt.Sprintf(format, args...))
}

func (c *comparison) all() {
	if c.v.Waiting != c.f.Waiting {
		c.say("%d entries wait, plainly %d", c.v.Waiting, c.f.Waiting)
	}
	c.lines()
	c.devices()
	c.drills()
	c.boxes()
	c.grounds()
	c.lots()
	c.spots()
	c.errands()
	c.crew()
	c.doubts()
	c.doubles()
}

func (c *comparison) lines() {
	for _, l := range c.s.Lines() {
		left, ok := c.f.Left(l.ID)
		if !ok {
			c.say("%s took effect, plainly it waits", c.w.Called(l.ID))
			continue
		}
		if (left != "") != (l.LeftOut != "") {
			c.say("%s is left out for %q, plainly for %q", c.w.Called(l.ID), l.LeftOut, left)
		}
		if now := c.f.Stands(l.ID); left == "" && (now == nil) != (l.Now == nil) {
			c.say("%s stands for %v, plainly for %v", c.w.Called(l.ID), l.Now, now)
		} else if now != nil && l.Now != nil && !naive.Same(now, l.Now) {
			c.say("%s stands for %+v, plainly for %+v", c.w.Called(l.ID), l.Now, now)
		}
	}
}

func (c *comparison) devices() {
	for _, d := range c.v.Devices {
		if d.Joined != c.f.Joined(d.ID) || d.Stopped != c.f.Stopped(d.ID) {
			c.say("device %s: joined %t stopped %t, plainly %t %t", d.Name, d.Joined, d.Stopped, c.f.Joined(d.ID), c.f.Stopped(d.ID))
		}
	}
}

// field compares one shown field. A zero value and none are alike.
func (c *comparison) field(thing entry.ID, name string, got any) {
	want, _ := c.f.Shown(thing, name)
	text := fmt.Sprint(got)
	if text != want && (want != "" || !isZero(text)) {
		c.say("%s of %s is %q, plainly %q", name, c.w.Called(thing), text, want)
	}
}

func isZero(text string) bool {
	switch text {
	case "", "0", "[]", "false", "0 g", "0 mm", "0 m2", "0 l", "0%", "0.00", "0 kg/ha":
		return true
	}
	return false
}

func (c *comparison) drills() {
	c.things("drill", len(c.v.Drills))
	for _, d := range c.v.Drills {
		c.field(d.ID, "name", d.Name)
		c.field(d.ID, "rows", d.Rows)
		c.field(d.ID, "spacing", d.Spacing)
		c.field(d.ID, "counter", d.Counter)
		c.field(d.ID, "counterturns", d.CounterTurns)
		h := c.f.Hitch(d.ID)
		if h.Ready != d.Hitch.Ready {
			c.say("drill %s: ready %t (%v), plainly %t (%s)", d.Name, d.Hitch.Ready, d.Hitch.Missing, h.Ready, h.Why)
		}
		var holds []entry.ID
		for _, x := range slices.Concat(d.Hitch.Holds, d.Hitch.Strangers) {
			holds = append(holds, x.Entry)
			c.seen(&x)
		}
		if !sameSet(holds, h.Holds) {
			c.say("drill %s: holds %s, plainly %s", d.Name, c.names(holds), c.names(h.Holds))
		}
	}
}

// seen compares who has seen a hold.
func (c *comparison) seen(h *farm.Hold) {
	var got []naive.Sight
	for _, by := range h.Seen {
		got = append(got, naive.Sight{Who: by.Person, Entry: by.Entry})
	}
	if want := c.f.Seen(h.Entry); !slices.Equal(got, want) {
		c.say("hold %s is seen by %v, plainly by %v", c.w.Called(h.Entry), got, want)
	}
}

func (c *comparison) things(kind string, got int) {
	if want := len(c.f.Things(kind)); got != want {
		c.say("%d of kind %s, plainly %d", got, kind, want)
	}
}

func (c *comparison) boxes() {
	c.things("box", len(c.v.Boxes))
	for _, b := range c.v.Boxes {
		c.field(b.ID, "name", b.Name)
		c.field(b.ID, "meter", b.Meter)
		c.field(b.ID, "lowest", b.DialFrom)
		c.field(b.ID, "highest", b.DialTo)
		c.field(b.ID, "capacity", b.Capacity)
		c.field(b.ID, "sides", b.Sides)
		c.field(b.ID, "feeds", b.RowsFed)
		if _, set := c.f.Shown(b.ID, "dial 0"); set {
			c.dial(b.ID, 0, b.Dial)
		}
		for _, sd := range b.SideDials {
			c.dial(b.ID, sd.Side, sd.Dial)
		}
		for _, m := range b.Marks {
			c.field(b.ID, fmt.Sprintf("marks %d", m.Side), m.Marks)
		}
		for _, p := range b.Chart {
			c.field(b.ID, fmt.Sprintf("chart %s %d", p.Species, int64(p.Dial)), fmt.Sprintf("%d %s", int64(p.Rate), p.Printed))
		}
	}
}

func (c *comparison) dial(box entry.ID, side int64, got any) {
	c.field(box, fmt.Sprintf("dial %d", side), fmt.Sprintf("%d", got))
}

func (c *comparison) grounds() {
	c.things("ground", len(c.v.Grounds))
	done := c.f.Done()
	for _, g := range c.v.Grounds {
		c.field(g.ID, "name", g.Name)
		c.field(g.ID, "area", g.Area)
		c.field(g.ID, "slope", g.Slope)
		c.field(g.ID, "state", g.State)
		c.field(g.ID, "notes", g.Notes)
		c.field(g.ID, "spray", g.Spray)
		c.field(g.ID, "depth", int64(g.Depth))
		c.field(g.ID, "nurse", g.Nurse)
		if d := done[g.ID]; d.Area != g.Done || d.Open != g.Open {
			c.say("%s done on %s (the least: %t), plainly %s (%t)", g.Done, g.Name, g.Open, d.Area, d.Open)
		}
		if n := c.f.Components(g.ID); n != len(g.Plan) {
			c.say("plan of %s has %d components, plainly %d", g.Name, len(g.Plan), n)
		}
	}
}

func (c *comparison) lots() {
	c.things("lot", len(c.v.Lots))
	for _, l := range c.v.Lots {
		c.field(l.ID, "name", l.Name)
		c.field(l.ID, "species", l.Species)
		c.field(l.ID, "variety", l.Variety)
		for _, line := range l.Label {
			of := fmt.Sprintf(" of %q %q", line.Species, line.Variety)
			c.field(l.ID, "label"+of, true)
			c.field(l.ID, "pure"+of, line.Share)
			c.field(l.ID, "germination"+of, line.Germination)
			c.field(l.ID, "coating"+of, line.Coating)
		}
		c.field(l.ID, "inert", l.Inert)
		c.field(l.ID, "bag", l.Bag)
		c.field(l.ID, "bagprinted", l.BagPrinted)
		c.field(l.ID, "price", l.Price)
		in, out := c.f.Bags(l.ID)
		if l.BagsIn != in || l.BagsOut != out {
			c.say("lot %s: bags %s in, %s out, plainly %s, %s", l.Name, l.BagsIn, l.BagsOut, in, out)
		}
		if m := c.f.FilledOf(l.ID); m != l.Filled {
			c.say("lot %s: %s filled, plainly %s", l.Name, l.Filled, m)
		}
	}
}

func (c *comparison) spots() {
	want := c.f.Spots()
	for _, p := range c.v.Spots {
		gone, ok := want[p.ID]
		if !ok || gone != !p.Gone.IsZero() {
			c.say("spot %s: gone %t, plainly %t of %t", c.w.Called(p.ID), !p.Gone.IsZero(), gone, ok)
		}
	}
	if len(want) != len(c.v.Spots) {
		c.say("%d spots, plainly %d", len(c.v.Spots), len(want))
	}
}

func (c *comparison) errands() {
	want := c.f.Errands()
	for _, e := range c.v.Errands {
		if want[e.ID] != e.State {
			c.say("errand %s is %s, plainly %s", c.w.Called(e.ID), e.State, want[e.ID])
		}
	}
	if len(want) != len(c.v.Errands) {
		c.say("%d errands, plainly %d", len(c.v.Errands), len(want))
	}
}

func (c *comparison) crew() {
	c.things("person", len(c.v.Crew))
	for _, m := range c.v.Crew {
		c.field(m.ID, "name", m.Name)
		role := m.Role
		if m.Stopped {
			role = entry.NoRole
		}
		if want := c.f.Role(m.ID); role != want {
			c.say("%s is %s, plainly %s", m.Name, role, want)
		}
	}
}

// plainKinds are the kinds of doubt that the naive fold finds too.
var plainKinds = []farm.DoubtKind{
	farm.TwoSettings, farm.TwoPlans, farm.CounterBack, farm.CounterBegin, farm.TwoBegins, farm.TwoPieces, farm.WorkedUnready,
	farm.NoRight, farm.AfterStop, farm.AmendedApart, farm.OneInvite,
}

func (c *comparison) doubts() {
	got, want := map[string]doubted{}, map[string]doubted{}
	for d := range c.v.Doubts() {
		if !d.Settled && slices.Contains(plainKinds, d.Kind) {
			got[naive.Doubt{Kind: string(d.Kind), Entries: d.Entries}.Key()] = doubted{string(d.Kind), d.Entries}
		}
	}
	for _, d := range c.f.Doubts() {
		want[d.Key()] = doubted{d.Kind, d.Entries}
	}
	c.missing("doubt", got, want)
	c.missing("plainly a doubt", want, got)
}

// doubted is a doubt as either side has it.
type doubted struct {
	kind    string
	entries []entry.ID
}

func (c *comparison) missing(what string, got, want map[string]doubted) {
	var extra []string
	for k, d := range got {
		if _, ok := want[k]; !ok {
			extra = append(extra, fmt.Sprintf("%s on one side only: %s: %s", what, d.kind, c.names(d.entries)))
		}
	}
	slices.Sort(extra)
	c.differs = append(c.differs, extra...)
}

// doubles checks double entries: each that is shown is one, and no pair that
// is one has neither of its entries in any.
func (c *comparison) doubles() {
	in := map[entry.ID]bool{}
	for d := range c.v.Doubts() {
		if d.Kind != farm.DoubleEntry {
			continue
		}
		for _, id := range d.Entries {
			in[id] = true
		}
		if !d.Settled && !c.f.DoubleEntry(d.Entries[0], d.Entries[1]) && !c.f.Named(string(d.Kind), d.Entries) {
			c.say("double entry %s, plainly none", c.names(d.Entries))
		}
	}
	all := c.f.Pourings()
	for i, a := range all {
		for _, b := range all[:i] {
			if !in[a] && !in[b] && c.f.DoubleEntry(a, b) {
				c.say("no double entry of %s and %s, plainly one", c.w.Called(b), c.w.Called(a))
			}
		}
	}
}

func (c *comparison) names(ids []entry.ID) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = c.w.Called(id)
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

func sameSet(a, b []entry.ID) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.SortFunc(a, entry.ID.Compare)
	slices.SortFunc(b, entry.ID.Compare)
	return slices.Equal(a, b)
}

// Healed brings everyone together and checks every rule.
func (w *World) Healed() error {
	if err := w.Do("all meet"); err != nil {
		return err
	}
	if err := w.lossless(); err != nil {
		return err
	}
	byRecord := map[string]*Place{}
	for _, p := range w.places {
		if err := w.Safe(p); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
		k := ""
		p.rep.Read(func(s *farm.State) { k = fmt.Sprint(s.Applied(), s.Waiting()) })
		if first, ok := byRecord[k]; ok {
			if first.rep.Digest() != p.rep.Digest() {
				return fmt.Errorf("rule 2: %s and %s hold the same entries and show different states", first.Name, p.Name)
			}
			continue
		}
		byRecord[k] = p
		if err := w.Plain(p); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
		if err := errors.Join(w.anyOrder(p), w.Traced(p)); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
	}
	return nil
}

// lossless checks rule 1 once everyone has met: what any place said is stored
// is everywhere, on whatever branch of its log.
func (w *World) lossless() error {
	for _, p := range w.places {
		have := p.rep.Frontier()
		for _, q := range w.places {
			for _, m := range q.stored {
				if w.lies(p.Device) || w.lies(m.Log.Device()) || w.waits(q, m.Log.Device()) && w.crowd(p) {
					continue // it holds what it likes, and of its branches, or of who waits, not all goes round
				}
				diverged, _, err := p.rep.Log().Diverged(m)
				if err != nil {
					return err
				}
				held := !diverged && have.Seq(m.Log) >= m.Seq
				if !held && !w.aside(p, m) {
					return fmt.Errorf("rule 1: %s lacks entry %d of %s, which %s had stored", p.Name, m.Seq, m.Log, q.Name)
				}
			}
		}
	}
	return nil
}

// waits says whether a device asks to join.
func (w *World) waits(p *Place, id entry.DeviceID) bool {
	d, _ := p.device(id)
	return !d.Joined
}

// crowd says whether so many may wait at a place that it takes no more: of such
// logs each place keeps a few for each invite.
func (w *World) crowd(p *Place) bool {
	n := 0
	for _, d := range p.rep.View().Devices {
		if !d.Joined {
			n++
		}
	}
	return w.Session != nil || n >= exchange.InviteLogs
}

// lies says whether a device has lied.
func (w *World) lies(d entry.DeviceID) bool {
	for name := range w.forgers {
		if p, err := w.Place(name); err == nil && p.Device == d {
			return true
		}
	}
	return false
}

// aside says whether a place holds a mark's entry on a branch beside the one
// that it holds as the device's log.
func (w *World) aside(p *Place, m chain.Mark) bool {
	branches := chain.Frontier{m}
	for _, b := range exchange.Have(p.rep.Log()) {
		known, err := p.rep.Log().(exchange.Branching).Known(b.Log, branches)
		if err == nil && b.Log != m.Log && known >= m.Seq {
			return true
		}
	}
	return false
}

// anyOrder checks rule 3: a state folded from the same entries in other orders,
// with repeats, and one saved and read again, have the same digest.
func (w *World) anyOrder(p *Place) error {
	want := p.rep.Digest()
	es, branches := p.Record()
	byDevice := slices.Clone(es)
	slices.SortStableFunc(byDevice, func(a, b entry.Entry) int { return a.Log.Compare(b.Log) })
	backwards := slices.Clone(es)
	slices.SortStableFunc(backwards, func(a, b entry.Entry) int {
		return cmp.Or(-a.Log.Compare(b.Log), cmp.Compare(a.Seq, b.Seq))
	})
	for name, order := range map[string][]entry.Entry{"total order": es, "device by device": byDevice, "last device first": backwards} {
		s := farm.New(w.Farm)
		for _, b := range branches {
			s.Branch(b.Name, b.Of)
		}
		for i, e := range order {
			s.Apply(e)
			if i%3 == 0 {
				s.Apply(order[:i/2]...)
			}
		}
		if s.Digest() != want {
			return fmt.Errorf("rule 3: entries in %s give another state", name)
		}
	}
	if len(branches) > 0 {
		return nil // is never saved
	}
	return w.saved(p, want)
}

func (w *World) saved(p *Place, want [32]byte) error {
	var text []byte
	p.rep.Read(func(s *farm.State) { text = wire.SaveFold(s) })
	fold, err := wire.OpenFold(w.Farm, bytes.NewReader(text))
	if err != nil {
		return err
	}
	s := farm.New(w.Farm)
	for {
		es, err := fold.Next(nil)
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		s.Apply(es...)
	}
	if s.Digest() != want {
		return fmt.Errorf("rule 3: a state that was saved and read again is another")
	}
	return nil
}
