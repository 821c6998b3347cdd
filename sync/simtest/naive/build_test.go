package naive

import (
	"bytes"
	"cmp"
	"crypto/ed25519"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"testing"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// raw is an entry before its logs are taken apart into branches: which name it
// has hangs on what else is there.
type raw struct {
	dev    *device
	seq    uint64
	prev   *raw
	seen   []*raw
	clock  hlc.Time
	wall   int64
	person *raw
	body   func(name) entry.Body
	hash   entry.Hash
	past   map[*raw]bool
}

// name is an entry's name in a fold.
type name func(*raw) entry.ID

func (r *raw) mark() entry.Mark {
	return entry.Mark{Log: r.dev.id.Log(), Seq: r.seq, Hash: r.hash.Brief()}
}

// world is a farm whose devices write what a test makes them write.
type world struct {
	farm   entry.FarmID
	proofs map[entry.Mark]bool
	salt   int
}

// device is a phone, and what it holds.
type device struct {
	w       *world
	called  string
	id      entry.DeviceID
	key     entry.Key
	has     map[*raw]bool
	top     *raw
	clock   hlc.Time
	wall    int64
	first   *raw
	person  *raw
	invited *invite
}

type invite struct {
	secret ed25519.PrivateKey
	raw    *raw
	person *raw
	role   entry.Role
}

func secret(text string) ed25519.PrivateKey {
	s := sha256.Sum256([]byte(text))
	return ed25519.NewKeyFromSeed(s[:])
}

func public(k ed25519.PrivateKey) entry.Key { return entry.Key(k.Public().(ed25519.PublicKey)) }

func (w *world) device(called string) *device {
	h := sha256.Sum256([]byte("device " + called))
	return &device{w: w, called: called, id: entry.DeviceID(h[:16]), key: entry.Key(sha256.Sum256([]byte("key " + called))), has: map[*raw]bool{}}
}

// how an entry is written.
type how func(*device, *raw)

// after goes on from an entry of its own: from an old copy.
func after(prev *raw) how {
	return func(d *device, r *raw) { r.prev = prev }
}

// seeing names just these.
func seeing(rs ...*raw) how {
	return func(d *device, r *raw) {
		all := map[*raw]bool{}
		for _, o := range rs {
			all[o] = true
			maps.Copy(all, o.past)
		}
		r.seen = d.heads(all, r.prev)
	}
}

func clock(c hlc.Time) how { return func(_ *device, r *raw) { r.clock = c } }
func wall(ms int64) how    { return func(_ *device, r *raw) { r.wall = ms } }
func as(person *raw) how   { return func(_ *device, r *raw) { r.person = person } }
func (d *device) learn(rs ...*raw) { // with all that they knew
	for _, r := range rs {
		d.has[r] = true
		maps.Copy(d.has, r.past)
	}
}

// heads are those of others' entries that no other knew and prev did not know.
func (d *device) heads(of map[*raw]bool, prev *raw) []*raw {
	var out []*raw
	for r := range of {
		if r.dev == d || prev != nil && prev.past[r] {
			continue
		}
		known := false
		for o := range of {
			known = known || o.dev != d && o.past[r]
		}
		if !known {
			out = append(out, r)
		}
	}
	slices.SortFunc(out, compareRaw)
	return out
}

// namable is what an honest writer names: what took effect, of devices that were
// let in.
func (d *device) namable() map[*raw]bool {
	n, es, branches := entries(d.has)
	f := &Fold{farm: d.w.farm, branches: branches, proofs: d.w.proofs}
	f.order(es)
	of := map[*raw]bool{}
	for r := range d.has {
		if it := f.byID[n(r)]; it != nil && f.mayName(&entry.Entry{ID: entry.ID{Log: d.id.Log()}}, it) {
			of[r] = true
		}
	}
	return of
}

func compareRaw(a, b *raw) int {
	return cmp.Or(cmp.Compare(a.seq, b.seq), bytes.Compare(a.hash[:], b.hash[:]))
}

// put writes an entry.
func (d *device) put(text string, body func(name) entry.Body, hows ...how) *raw {
	d.w.salt++
	r := &raw{dev: d, prev: d.top, clock: d.clock, wall: d.wall, body: body, past: map[*raw]bool{}}
	r.seen = nil
	unset := []*raw{nil}
	r.seen = unset
	for _, h := range hows {
		h(d, r)
	}
	if len(r.seen) == 1 && r.seen[0] == nil {
		r.seen = d.heads(d.namable(), r.prev)
	}
	r.seq = 1
	if r.prev != nil {
		r.seq = r.prev.seq + 1
		r.past[r.prev] = true
		maps.Copy(r.past, r.prev.past)
	}
	for _, o := range r.seen {
		r.past[o] = true
		maps.Copy(r.past, o.past)
	}
	r.hash = sha256.Sum256(fmt.Appendf(nil, "%s %d %v %s %d", d.called, r.seq, r.prev != nil, text, d.w.salt))
	d.top = r
	d.learn(r)
	return r
}

func said(b entry.Body) func(name) entry.Body { return func(name) entry.Body { return b } }

// found founds a farm.
func found(called string) *device {
	w := &world{proofs: map[entry.Mark]bool{}}
	d := w.device(called)
	paper := public(secret("paper"))
	w.farm = entry.FoundedBy(d.id, d.key, paper)
	d.first = d.put("found", said(&entry.FarmFounded{Name: "Farm", Owner: called, Key: d.key, Paper: paper}))
	d.person = d.first
	return d
}

func (d *device) member(called string, role entry.Role, hows ...how) *raw {
	return d.put("member "+called, said(&entry.MemberAdded{Name: called, Role: role}), hows...)
}

const endless = 1 << 47

func (d *device) invite(person *raw, role entry.Role, hows ...how) *invite {
	return d.inviteTill(person, role, endless, hows...)
}

func (d *device) inviteTill(person *raw, role entry.Role, end int64, hows ...how) *invite {
	i := &invite{secret: secret(fmt.Sprint("invite ", d.w.salt)), person: person, role: role}
	i.raw = d.put("invite", func(n name) entry.Body {
		return &entry.Invited{Person: n(person), Key: public(i.secret), Expires: end}
	}, hows...)
	return i
}

// enrol makes a device that asks to join.
func (w *world) enrol(called string, i *invite) *device {
	d := w.device(called)
	d.invited, d.person = i, i.person
	d.first = d.put("enrol", said(&entry.DeviceEnrolled{Invite: public(i.secret), Key: d.key, Name: called,
		Proof: entry.Countersign(i.secret, w.farm, d.id, d.key)}))
	return d
}

// admit lets a device in as its invite says.
func (d *device) admit(o *device, hows ...how) *raw {
	return d.admitAs(o, o.person, o.invited.role, hows...)
}

func (d *device) admitAs(o *device, person *raw, role entry.Role, hows ...how) *raw {
	return d.put("admit "+o.called, func(n name) entry.Body {
		return &entry.Admitted{Device: o.id, Hash: o.first.hash.Brief(), Person: n(person), Role: role}
	}, hows...)
}

func (d *device) refuse(o *device) *raw {
	return d.put("refuse", said(&entry.Admitted{Device: o.id, Hash: o.first.hash.Brief(), Refused: true}))
}

// letIn makes a person and a device and lets it in.
func (d *device) letIn(called string, role entry.Role) *device {
	p := d.member(called, role)
	o := d.w.enrol(called, d.invite(p, role))
	d.admit(o)
	o.learn(d.top)
	return o
}

// last is the last entry of a device that another knows.
func (d *device) last(o *device) entry.Mark {
	var last *raw
	for r := range d.has {
		if r.dev == o && (last == nil || r.seq > last.seq || r.seq == last.seq && compareRaw(r, last) < 0) {
			last = r
		}
	}
	if last == nil {
		return entry.Mark{Log: o.id.Log()}
	}
	return last.mark()
}

func (d *device) stop(o *device, hows ...how) *raw { return d.stopAt(d.last(o), hows...) }
func (d *device) stopAt(m entry.Mark, hows ...how) *raw {
	return d.put("stop", said(&entry.DeviceStopped{Last: m}), hows...)
}

func (d *device) takeIn(m entry.Mark, hows ...how) *raw {
	return d.put("take in", said(&entry.DeviceTakenIn{Last: m}), hows...)
}

func (d *device) role(person *raw, role entry.Role, hows ...how) *raw {
	return d.put("role", func(n name) entry.Body { return &entry.MemberChanged{Member: n(person), Role: role} }, hows...)
}

func (d *device) stopPerson(person *raw, hows ...how) *raw {
	return d.put("stop person", func(n name) entry.Body { return &entry.MemberStopped{Member: n(person)} }, hows...)
}

func (d *device) note(hows ...how) *raw { return d.put("note", said(&entry.Noted{Text: "x"}), hows...) }

// recover makes a device by a code on paper, which prints the next.
func (d *device) recover(called, code, next string, stops ...entry.Mark) *device {
	o := d.w.device(called)
	maps.Copy(o.has, d.has)
	o.first = o.put("recover", said(&entry.Recovered{Key: o.key, Name: called, Next: public(secret(next)), Stops: stops,
		Proof: entry.Recover(secret(code), o.w.farm, o.id, o.key, public(secret(next)))}))
	return o
}

func meet(ds ...*device) {
	all := map[*raw]bool{}
	for _, d := range ds {
		maps.Copy(all, d.has)
	}
	for _, d := range ds {
		maps.Copy(d.has, all)
	}
}

// holding is all that some devices hold.
func holding(ds ...*device) map[*raw]bool {
	all := map[*raw]bool{}
	for _, d := range ds {
		maps.Copy(all, d.has)
		if d.first != nil {
			all[d.first] = true
		}
	}
	return all
}

// names takes forked logs apart as package wire does: what all branches share
// is the device's, each stretch beyond a fork has a name of its own.
func names(all map[*raw]bool) (map[*raw]entry.ID, []Branch) {
	next := map[*raw][]*raw{}
	roots := map[*device][]*raw{}
	for r := range all {
		if r.prev == nil {
			roots[r.dev] = append(roots[r.dev], r)
		} else {
			next[r.prev] = append(next[r.prev], r)
		}
	}
	ids := make(map[*raw]entry.ID, len(all))
	var branches []Branch
	var walk func(stretch entry.LogID, seq uint64, rs []*raw)
	walk = func(stretch entry.LogID, seq uint64, rs []*raw) {
		for ; len(rs) == 1; rs = next[rs[0]] {
			seq++
			ids[rs[0]] = entry.ID{Log: stretch, Seq: seq}
		}
		for _, r := range rs {
			b := chain.Branch(r.hash)
			branches = append(branches, Branch{Name: b, Of: entry.ID{Log: stretch, Seq: seq}})
			ids[r] = entry.ID{Log: b, Seq: seq + 1}
			walk(b, seq+1, next[r])
		}
	}
	for d, rs := range roots {
		walk(d.id.Log(), 0, rs)
	}
	return ids, branches
}

// entries are the entries as a fold takes them.
func entries(all map[*raw]bool) (name, []entry.Entry, []Branch) {
	ids, branches := names(all)
	n := func(r *raw) entry.ID { return ids[r] }
	es := make([]entry.Entry, 0, len(all))
	for r := range all {
		e := entry.Entry{ID: ids[r], Hash: r.hash.Brief(), Clock: r.clock, Wall: r.wall, Body: r.body(n)}
		if r.person != nil {
			e.Person = ids[r.person]
		}
		for _, s := range r.seen {
			e.Seen = append(e.Seen, entry.Mark{Log: ids[s].Log, Seq: s.seq, Hash: s.hash.Brief()})
		}
		es = append(es, e)
	}
	return n, es, branches
}

// farmOf folds all that some devices hold, and holds package farm's fold of it
// against this one.
func farmOf(t *testing.T, ds ...*device) (*Fold, name) {
	t.Helper()
	all := holding(ds...)
	for _, differs := range against(ds[0].w, all, 1) {
		t.Error("package farm: ", differs)
	}
	return foldOf(ds...)
}

// foldOf is farmOf of what package wire lets nobody hold.
func foldOf(ds ...*device) (*Fold, name) {
	n, es, branches := entries(holding(ds...))
	return Replay(ds[0].w.farm, es, branches...), n
}

// crewOf is who belongs: what each device may do, stopped ones left out, and
// what each person may.
func (w *world) crewOf(all map[*raw]bool) map[string]entry.Role {
	n, es, branches := entries(all)
	f := &Fold{farm: w.farm, branches: branches, proofs: w.proofs}
	f.order(es)
	f.standing()
	out := map[string]entry.Role{}
	for r := range all {
		if d := r.dev; r.prev == nil {
			if role := f.DeviceRole(d.id); role != entry.NoRole {
				out[d.called] = role
			}
		}
		switch b := r.body(n).(type) {
		case *entry.MemberAdded:
			out["person "+b.Name] = f.Role(n(r))
		case *entry.FarmFounded:
			out["person "+b.Owner] = f.Role(n(r))
		}
	}
	maps.DeleteFunc(out, func(_ string, r entry.Role) bool { return r == entry.NoRole })
	return out
}

// roles checks what devices may do by all that some of them hold.
func roles(t *testing.T, ds []*device, want map[*device]entry.Role) {
	t.Helper()
	f, _ := farmOf(t, ds...)
	rolesIn(t, f, want)
}

func rolesIn(t *testing.T, f *Fold, want map[*device]entry.Role) {
	t.Helper()
	for d, r := range want {
		if got := f.DeviceRole(d.id); got != r {
			t.Errorf("%s may do what a %s may, want %s", d.called, got, r)
		}
	}
}

func left(t *testing.T, f *Fold, n name, r *raw, want string) {
	t.Helper()
	if got, ok := f.Left(n(r)); !ok || got != want {
		t.Errorf("%s's entry %d is left out for %q (took effect %t), want %q", r.dev.called, r.seq, got, ok, want)
	}
}
