package farm

import (
	"crypto/sha256"
	"fmt"

	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
)

func (s *core) digest() [32]byte {
	d := &rule.Digester{Hash: sha256.New()}
	d.PutBytes(s.FarmID[:])
	for _, dev := range s.LogsInOrder() {
		if dev.Joined { // the others are kept, relayed and shown, and count for nothing
			digestDevice(d, dev)
		}
	}
	for k := range thing.ThingKind(len(thing.ThingNames)) {
		for _, t := range s.Sorted(k) {
			digestThing(d, t)
		}
	}
	digestView(d, s.now())
	return [32]byte(d.Hash.Sum(nil))
}

func digestDevice(d *rule.Digester, dev *order.Log) {
	d.Buf = append(d.Buf, dev.ID[:]...)
	d.PutFlag(dev.Root != nil)
	if dev.Root != nil {
		d.Buf = append(d.Buf, dev.Root.ID[:]...)
		d.PutNum(int64(dev.Base))
	}
	d.PutNum(int64(len(dev.Recs)))
	for _, r := range dev.Recs {
		d.PutNum(int64(r.Round))
		d.PutNum(int64(r.Time))
		d.PutNum(r.Wall)
		d.PutNum(int64(r.Left))
		d.PutID(order.PersonID(r))
		d.PutBody(r.Body)
		d.PutFlag(r.Eff == r.Body)
		if r.Eff != r.Body {
			d.PutBody(r.Eff)
		}
	}
	d.PutNum(int64(len(dev.Wait)))
	for i := range dev.Wait {
		d.PutBody(dev.Wait[i].Body)
	}
}

func digestThing(d *rule.Digester, t *thing.Thing) {
	d.PutID(t.ID)
	d.PutNum(int64(t.Kind))
	for i := range t.Fields {
		f := &t.Fields[i]
		by, v, ok := f.Shown()
		if !ok {
			continue
		}
		d.PutNum(int64(f.Num))
		d.PutID(f.X)
		d.PutID(f.Y)
		d.PutText(f.S)
		d.PutNum(f.N)
		d.PutID(by.ID())
		d.PutNum(v.N)
		d.PutNum(v.M)
		d.PutText(v.S)
		for _, r := range f.Contested() {
			d.PutID(r.ID())
		}
		d.PutNum(-1)
	}
	for _, r := range t.Events.All() {
		d.PutID(r.ID())
	}
	for _, e := range t.Deeds.All() {
		d.PutID(e.Rec.ID())
	}
	d.PutNum(-1)
}

// digestView adds what is worked out: readiness, seed, acres and doubts.
func digestView(d *rule.Digester, v *view.View) {
	for i := range v.Drills {
		digestDrill(d, &v.Drills[i])
	}
	for i := range v.Boxes {
		b := &v.Boxes[i]
		d.PutID(b.ID)
		d.PutNum(int64(b.Dial))
		for _, sd := range b.Seed {
			d.PutID(sd.Lot)
			d.PutNum(sd.Side)
			d.PutNum(int64(sd.Mass))
		}
		d.PutNum(int64(b.Left))
	}
	for i := range v.Grounds {
		g := &v.Grounds[i]
		d.PutID(g.ID)
		d.PutNum(int64(g.Done))
		d.PutFlag(g.Open)
		for _, sn := range g.Sown {
			d.PutID(sn.Lot)
			d.PutID(sn.Box)
			d.PutNum(int64(sn.Mass))
		}
	}
	if n := len(v.Spots); n > 0 {
		d.PutText("spots")
		d.PutNum(int64(n))
	}
	for i := range v.Spots {
		d.PutID(v.Spots[i].ID)
		d.PutID(v.Spots[i].Gone)
	}
	if n := len(v.Errands); n > 0 {
		d.PutText("errands")
		d.PutNum(int64(n))
	}
	for i := range v.Errands {
		d.PutID(v.Errands[i].ID)
		d.PutID(v.Errands[i].By)
	}
	for x := range v.Doubts() {
		digestDoubt(d, &x)
	}
	d.Flush()
}

func digestDrill(d *rule.Digester, dr *work.Drill) {
	d.PutID(dr.ID)
	d.PutFlag(len(dr.Hitch.Missing) == 0 && len(dr.Hitch.Holds) == 0)
	for _, m := range dr.Hitch.Missing {
		d.PutText(spelling(m))
	}
	for _, h := range dr.Hitch.Holds {
		d.PutID(h.Entry)
	}
	for _, sg := range dr.Hitch.Signed {
		d.PutID(sg.Entry)
	}
	d.PutNum(-1)
	for i := range dr.Hitch.Holds {
		digestSeen(d, &dr.Hitch.Holds[i])
	}
}

func digestSeen(d *rule.Digester, h *work.Hold) {
	if len(h.Seen) == 0 {
		return
	}
	d.PutText("seen")
	d.PutID(h.Entry)
	for _, by := range h.Seen {
		d.PutID(by.Entry)
	}
	d.PutNum(-1)
}

// spelling is how the digest spells what a hitch misses. Devices of different
// versions compare digests, so that a spelling never changes; people read others.
func spelling(m work.Missing) string {
	switch m.Why {
	case work.NoHitch:
		return "no hitch is begun"
	case work.TwoHitches:
		return "two hitches were begun apart: end them and begin again"
	case work.NoList:
		return "the list of checks is not known"
	case work.Unsigned:
		return m.Check
	case work.NewCheck:
		return fmt.Sprintf("%s (new on list %d: begin the hitch again)", m.Check, m.N)
	case work.Waiting:
		return fmt.Sprintf("%d notes that wait for others not here yet", m.N)
	}
	return string(m.Why)
}

func digestDoubt(d *rule.Digester, x *conflict.Doubt) {
	d.PutText(string(x.Kind))
	d.PutFlag(x.Settled)
	for _, id := range x.Entries {
		d.PutID(id)
	}
	d.PutNum(-1)
}
