package simtest

import (
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
	"turnrow/sync/exchange"
	"turnrow/sync/farm"
	"turnrow/sync/replica"
)

// Morning is when every world begins, ms since 1970: 27 May 2026, 20:26 UTC.
const Morning = 1_780_000_000_000

const (
	minute = 60_000
	hour   = 60 * minute
	day    = 24 * hour
)

// ErrCannot reports a line that cannot be done as things stand: it refers to
// something that its writer never heard of, or that is not there.
var ErrCannot = errors.New("cannot be done now")

// Disk is where a place keeps its record.
type Disk interface {
	// Open reads the record.
	Open(f entry.FarmID) (replica.Log, error)
	// Power makes the power go at the n-th write from now.
	Power(n int)
	// Dead says whether the power has gone. Open brings it back, with what
	// had been made durable, and perhaps more.
	Dead() bool
	// Copy is another disk with what this one holds.
	Copy() (Disk, error)
	// Close ends the use of the disk.
	Close() error
}

// World is a crew of replicas and the time of day. It is driven line by line
// and does nothing by itself.
type World struct {
	Farm  entry.FarmID
	Now   int64 // the true time, ms since 1970
	Disks func(place string) Disk
	// Look is called after each line, for each place whose state it changed.
	Look func(*Place) error

	places  []*Place
	labels  map[string]chain.Mark // an entry, and the log's hash there
	called  map[entry.ID]string   // the other way round, for logs that are not forked
	mail    map[string]*letter
	files   map[string][]byte
	copies  map[string]*copied
	forgers map[string]*forger
	told    []chain.Mark // what some place said is durably stored
	hostile
}

// Place is a replica of the record: a phone, a tablet, a server.
type Place struct {
	Name   string
	Device entry.DeviceID // zero for a place that writes nothing
	key    ed25519.PrivateKey
	disk   Disk
	rep    *replica.Replica
	off    int64 // of its clock, ms
	ahead  int64 // the most that off has been
	anew   int   // identities it has had before this one
	peers  map[string]chain.Frontier
	met    map[string]any // what a Session remembers of others
	gen    byte           // of its store
	read   *record        // as it was last read
	moved  bool           // its state has changed in this line
	stored chain.Frontier
}

// copied is an old copy of a place.
type copied struct {
	disk   Disk
	device entry.DeviceID
	key    ed25519.PrivateKey
	stored chain.Frontier
}

// New is a world in which nothing has happened.
func New() *World {
	return &World{
		Now: Morning, Disks: func(string) Disk { return NewMemoryDisk() },
		labels: map[string]chain.Mark{}, called: map[entry.ID]string{},
		mail: map[string]*letter{}, files: map[string][]byte{}, copies: map[string]*copied{},
	}
}

// Places are the places, in the order in which they came up.
func (w *World) Places() []*Place { return w.places }

// Place finds a place by its name.
func (w *World) Place(name string) (*Place, error) {
	for _, p := range w.places {
		if p.Name == name {
			return p, nil
		}
	}
	return nil, fmt.Errorf("%w: there is no %s", ErrCannot, name)
}

// Called is what an entry is called in the story.
func (w *World) Called(id entry.ID) string {
	if n, ok := w.called[id]; ok {
		return n
	}
	for _, p := range w.places {
		for _, n := range slices.Sorted(maps.Keys(w.labels)) {
			if m := w.labels[n]; m.Seq == id.Seq && p.id(m) == id {
				return n
			}
		}
	}
	for _, p := range w.places {
		if p.Device.Log() == id.Log {
			return fmt.Sprintf("%s/%d", p.Name, id.Seq)
		}
	}
	return id.Short()
}

func (w *World) label(name string, p *Place, id entry.ID) {
	if name == "" {
		return
	}
	head, _ := p.rep.Log().Head(id.Log.Device())
	w.labels[name] = head.Mark()
	if _, twice := w.called[id]; twice {
		delete(w.called, id) // the log is forked: what the entry is called depends on the branch
	} else {
		w.called[id] = name
	}
}

// id is what a place knows an entry as: an entry of a forked log has the name
// of its branch, once the place knows of the fork.
func (p *Place) id(m chain.Mark) entry.ID {
	id := entry.ID{Log: m.Log, Seq: m.Seq}
	b, ok := p.rep.Log().(exchange.Branching)
	if !ok || len(b.Branches()) == 0 {
		return id
	}
	from := uint64(0)
	_, branches := p.Record()
	for _, br := range branches {
		known, err := b.Known(br.Name, chain.Frontier{m})
		if err == nil && known >= m.Seq && br.Of.Seq < m.Seq && br.Of.Seq >= from {
			id.Log, from = br.Name, br.Of.Seq
		}
	}
	return id
}

// Close ends the world.
func (w *World) Close() error {
	var err error
	for _, p := range w.places {
		err = errors.Join(err, p.disk.Close())
	}
	return err
}

// keyFor is the private key of a name: the same in every world.
func keyFor(name string) ed25519.PrivateKey {
	seed := sha256.Sum256([]byte("key of " + name))
	return ed25519.NewKeyFromSeed(seed[:])
}

func public(k ed25519.PrivateKey) entry.Key { return entry.Key(k.Public().(ed25519.PublicKey)) }

// deviceFor is the device of a name: a UUID of version 7 in shape.
func deviceFor(name string) entry.DeviceID {
	sum := sha256.Sum256([]byte("device of " + name))
	d := entry.DeviceID(sum[:16])
	d[6], d[8] = 0x70|d[6]&0x0f, 0x80|d[8]&0x3f
	return d
}

// Do does one line. Lines without a word, and those that begin with #, do
// nothing.
func (w *World) Do(text string) error {
	if t := strings.TrimSpace(text); t == "" || t[0] == '#' {
		return nil
	}
	l, err := parse(text)
	if err != nil {
		return err
	}
	for _, p := range w.places {
		p.moved = false
	}
	if l.writes {
		err = w.write(l)
	} else {
		err = w.act(l)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", strings.TrimSpace(text), err)
	}
	return w.after()
}

// after starts again what lost its power, lets in whom it may, and looks at what
// changed.
func (w *World) after() error {
	for _, p := range w.places {
		if p.disk.Dead() {
			if err := w.start(p); err != nil {
				return err
			}
		}
		if _, err := w.admit(p); err != nil {
			return err
		}
		if err := p.keeps(); err != nil {
			return err
		}
		if !p.moved || w.Look == nil {
			continue
		}
		if err := w.Look(p); err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
	}
	return nil
}

// admit has a place write what an owner's device, or a porter, writes by itself:
// who asks to join, in time and on an invite, is let in.
func (w *World) admit(p *Place) (wrote bool, err error) {
	if !p.moved || p.Device.IsZero() || w.forgers[p.Name] != nil || p.Gone() {
		return false, nil
	}
	wall := max(0, w.Now+p.off)
	var bodies []entry.Body
	p.rep.Read(func(s *farm.State) { bodies = s.ToAdmit(p.Device, wall) })
	for _, b := range bodies {
		if err := w.mayLetIn(p, b, wall); err != nil {
			return false, err
		}
		es, err := p.rep.Record(p.key, p.Device, wall, entry.Draft{Body: b})
		if err != nil && !p.disk.Dead() {
			return false, err
		}
		w.letIn(b, es)
	}
	if len(bodies) > 0 && !p.disk.Dead() {
		w.promise(p)
	}
	return len(bodies) > 0, nil
}

// act does a line that is no entry.
func (w *World) act(l line) error {
	verb := ""
	if len(l.words) > 0 {
		verb = l.words[0].text
	}
	switch {
	case l.place == "wait":
		return w.wait(verb)
	case l.place == "clock":
		return w.clock(l.words)
	case l.place == "copy":
		return w.copy(l.words)
	case l.place == "restore":
		return w.restore(l.words)
	case l.place == "all":
		return w.quiet(w.places)
	}
	switch verb {
	case "founds":
		return w.found(l)
	case "keeps":
		_, err := w.settle(l.place)
		return err
	case "joins", "anew":
		return w.join(l, verb == "anew")
	case "recovers":
		return w.recover(l)
	case "arrives":
		return w.arrive(l.place)
	case "returns":
		return w.returns(l.place)
	}
	p, err := w.Place(l.place)
	if err != nil {
		return err
	}
	return w.actAt(p, verb, l.words[min(1, len(l.words)):])
}

func (w *World) actAt(p *Place, verb string, ws []token) error {
	switch verb {
	case "meets":
		return w.meets(p, ws)
	case "calls":
		return w.calls(p, ws)
	case "posts":
		return w.posts(p, ws)
	case "carries":
		return w.carries(p, ws)
	case "takes":
		return w.takes(p, ws)
	case "forges":
		return w.forge(p, ws)
	case "undoes":
		return w.undoes(p, ws)
	case "answers":
		return w.answers(p, ws)
	case "fakes":
		return w.fakes(p, ws)
	case "crowds":
		return w.crowds(p, ws)
	case "floods":
		return w.floods(p, ws)
	case "ends":
		return w.ends(p, ws)
	case "rebuilds":
		return w.rebuilds(p)
	case "crashes":
		return w.start(p)
	case "power":
		if len(ws) != 1 {
			return fmt.Errorf("want: the number of the write at which it goes")
		}
		n, err := strconv.Atoi(ws[0].text)
		p.disk.Power(n)
		return err
	}
	return fmt.Errorf("%q is nothing that happens here", verb)
}

// settle makes a place.
func (w *World) settle(name string) (*Place, error) {
	if _, err := w.Place(name); err == nil {
		return nil, fmt.Errorf("%w: there is a %s already", ErrCannot, name)
	}
	if w.Farm.IsZero() {
		return nil, fmt.Errorf("%w: there is no farm", ErrCannot)
	}
	p := &Place{Name: name, disk: w.Disks(name), peers: map[string]chain.Frontier{}, met: map[string]any{}}
	w.places = append(w.places, p)
	return p, w.start(p)
}

// start starts a place on its disk, for the first time or again.
func (w *World) start(p *Place) error {
	log, err := p.disk.Open(w.Farm)
	if err != nil && p.disk.Dead() {
		log, err = p.disk.Open(w.Farm) // the power went while it started
	}
	if err != nil {
		return fmt.Errorf("%s starts: %w", p.Name, err)
	}
	p.rep, err = replica.Open(w.Farm, exchange.Generation{1, p.gen}, log)
	p.moved = true
	if w.Session != nil && err == nil {
		p.rep.Clock(func() int64 { return max(0, w.Now+p.off) })
	}
	return err
}

// found makes the farm: house founds "Quill Hollow" owner Ada.
func (w *World) found(l line) error {
	if len(l.words) != 4 || l.words[2].text != "owner" {
		return fmt.Errorf("want: PLACE founds NAME owner PERSON")
	}
	if !w.Farm.IsZero() {
		return fmt.Errorf("%w: the farm is founded", ErrCannot)
	}
	key, dev := keyFor(l.place), deviceFor(l.place)
	w.Farm = entry.FoundedBy(dev, public(key), public(paperOf(l.place)))
	p, err := w.settle(l.place)
	if err != nil {
		return err
	}
	p.key, p.Device = key, dev
	owner := l.words[3].text
	return w.record(p, owner, entry.Draft{Body: &entry.FarmFounded{
		Name: l.words[1].text, Owner: owner, Key: public(key), DeviceName: l.place, MoneySign: "$", TimeZone: "America/New_York",
		Paper: public(paperOf(l.place)),
	}})
}

// join makes a place's first entry: cab joins by inv. A place that joins anew
// keeps its record and takes a new device.
func (w *World) join(l line, anew bool) error {
	if len(l.words) != 3 || l.words[1].text != "by" {
		return fmt.Errorf("want: PLACE %s by INVITE", l.words[0].text)
	}
	if _, ok := w.labels[l.words[2].text]; !ok {
		return fmt.Errorf("%w: there is no invite %s", ErrCannot, l.words[2].text)
	}
	var p *Place
	var err error
	if anew {
		if p, err = w.Place(l.place); err == nil {
			p.anew++
		}
	} else {
		p, err = w.settle(l.place)
	}
	if err != nil {
		return err
	}
	name := l.place + strings.Repeat("'", p.anew)
	p.key, p.Device = keyFor(name), deviceFor(name)
	secret := keyFor("invite " + l.words[2].text)
	w.asks(p.Device, l.words[2].text)
	d := entry.Draft{Body: &entry.DeviceEnrolled{
		Invite: public(secret), Key: public(p.key), Name: name, Proof: entry.Countersign(secret, w.Farm, p.Device, public(p.key)),
	}}
	return w.record(p, name, d)
}

// recover makes a place's first entry by a code on paper, that of the place which
// founded the farm or of one that recovered: spare recovers by house. It stops
// what places it names, at what it holds of them.
func (w *World) recover(l line) error {
	if len(l.words) < 3 || l.words[1].text != "by" {
		return fmt.Errorf("want: PLACE recovers by PLACE [stops PLACE ...]")
	}
	p, err := w.settle(l.place)
	if err != nil {
		return err
	}
	p.key, p.Device = keyFor(l.place), deviceFor(l.place)
	key, next := public(p.key), public(paperOf(l.place))
	b := &entry.Recovered{Key: key, Name: l.place, Next: next,
		Proof: entry.Recover(paperOf(l.words[2].text), w.Farm, p.Device, key, next)}
	for _, t := range l.words[min(4, len(l.words)):] {
		of, err := w.Place(t.text)
		if err != nil {
			return err
		}
		var m entry.Mark
		of.rep.Read(func(s *farm.State) { m, _ = s.Held(of.Device, 0) })
		if !m.IsZero() {
			b.Stops = append(b.Stops, m)
		}
	}
	return w.record(p, l.place, entry.Draft{Body: b})
}

// write does a line that is an entry.
func (w *World) write(l line) error {
	p, err := w.Place(l.place)
	if err != nil {
		return err
	}
	if p.Gone() || p.Device.IsZero() {
		return fmt.Errorf("%w: %s has no device that may write", ErrCannot, p.Name)
	}
	known := writer{w, p}
	b, err := body(l.words[0].text, l.words[1:], known)
	if err != nil {
		return err
	}
	if inv, ok := b.(*entry.Invited); ok {
		inv.Key = public(keyFor("invite " + l.label))
		if inv.Expires == 0 {
			inv.Expires = w.Now + p.off + day
		}
		w.offers(l.label, inv.Expires)
	}
	if rel, ok := b.(*entry.HoldReleased); ok && len(rel.Holds) == 0 {
		if rel.Holds = p.holds(rel.Drill); len(rel.Holds) == 0 {
			return fmt.Errorf("%w: %s knows of no hold", ErrCannot, p.Name)
		}
	}
	if saw, ok := b.(*entry.HoldSeen); ok && len(saw.Holds) == 0 {
		if saw.Holds = p.holds(entry.ID{}); len(saw.Holds) == 0 {
			return fmt.Errorf("%w: %s knows of no hold", ErrCannot, p.Name)
		}
	}
	named(b, l.label)
	d := entry.Draft{Body: b}
	if l.person != "" {
		if d.Person, err = known.entry(l.person); err != nil {
			return err
		}
	}
	return w.record(p, l.label, d)
}

// holds are the open holds on a drill that a place knows of.
func (p *Place) holds(drill entry.ID) (ids []entry.ID) {
	for _, d := range p.View().Drills {
		for _, h := range d.Hitch.Holds {
			if (drill.IsZero() || d.ID == drill) && !slices.Contains(ids, h.Entry) {
				ids = append(ids, h.Entry)
			}
		}
	}
	return ids
}

// paperOf is the secret of the code on the paper that a founding place prints.
func paperOf(place string) ed25519.PrivateKey { return keyFor("paper of " + place) }

// named gives a new thing the name that its entry is called by, where it has
// none of its own.
func named(b entry.Body, label string) {
	name := func(n *entry.Opt[string], id entry.ID) {
		if !n.Set && id.IsZero() && label != "" {
			*n = entry.Some(label)
		}
	}
	switch b := b.(type) {
	case *entry.MemberAdded:
		if b.Name == "" {
			b.Name = label
		}
	case *entry.GroundSet:
		name(&b.Name, b.Ground)
	case *entry.DrillSet:
		name(&b.Name, b.Drill)
	case *entry.BoxSet:
		name(&b.Name, b.Box)
	case *entry.LotSet:
		name(&b.Name, b.Lot)
	}
}

// record writes an entry at a place. Where its power goes meanwhile, nothing
// was promised.
func (w *World) record(p *Place, label string, d entry.Draft) error {
	wall := max(0, w.Now+p.off)
	w.Now += minute
	es, err := p.rep.Record(p.key, p.Device, wall, d)
	if p.disk.Dead() {
		return nil
	}
	if err != nil {
		return err
	}
	p.moved = true
	w.label(label, p, es[0].ID)
	w.promise(p)
	w.letIn(d.Body, es)
	return w.inTime(p, es[0].Clock, wall)
}

// promise notes what a place has said is stored for good.
func (w *World) promise(p *Place) {
	p.stored = p.rep.Frontier()
}

// keeps says whether a place still holds what it said was stored.
func (p *Place) keeps() error {
	if p.rep == nil {
		return nil
	}
	now := p.rep.Frontier()
	for _, m := range p.stored {
		diverged, _, err := p.rep.Log().Diverged(m)
		if err != nil {
			return err
		}
		if diverged || now.Seq(m.Log) < m.Seq {
			return fmt.Errorf("rule 1: %s has lost entry %d of %s, which it had said was stored", p.Name, m.Seq, m.Log)
		}
	}
	return nil
}

// device is how a place sees a device.
func (p *Place) device(id entry.DeviceID) (d farm.Device, ok bool) {
	p.rep.Read(func(s *farm.State) { d, ok = s.Device(id) })
	return d, ok
}

// Gone says whether the place's device is forked, and may not write again.
func (p *Place) Gone() bool {
	var d farm.Device
	p.rep.Read(func(s *farm.State) { d, _ = s.Device(p.Device) })
	return d.Forked
}

// View is the farm as the place shows it.
func (p *Place) View() *farm.View { return p.rep.View() }

// Entries are all entries that the place holds, by their clocks.
func (p *Place) Entries() []entry.Entry {
	var es []entry.Entry
	_ = p.rep.Log().Each(nil, func(e entry.Entry) error { es = append(es, e); return nil })
	return es
}

// merged is the entries of logs: each log's in its order, and of those that come
// next the one with the earliest clock.
func merged(logs [][]entry.Entry) (out []entry.Entry) {
	for {
		logs = slices.DeleteFunc(slices.Clone(logs), func(l []entry.Entry) bool { return len(l) == 0 })
		if len(logs) == 0 {
			return out
		}
		next := 0
		for i := range logs {
			if logs[i][0].Earlier(&logs[next][0]) {
				next = i
			}
		}
		out = append(out, logs[next][0])
		logs[next] = logs[next][1:]
	}
}

// Knows says whether an entry has taken effect at the place.
func (p *Place) Knows(id entry.ID) bool {
	known := false
	p.rep.Read(func(s *farm.State) {
		known = s.Applied().Seq(id.Log) >= id.Seq || id.Log == p.Device.Log() && s.Holds(id)
	})
	return known && id.Seq > 0
}

// writer finds what a place can refer to.
type writer struct {
	w *World
	p *Place
}

func (r writer) entry(name string) (entry.ID, error) {
	m, ok := r.w.labels[name]
	id := r.p.id(m)
	if place, num, nth := strings.Cut(name, "/"); !ok && nth {
		id, ok = r.w.numbered(place, num)
	}
	if !ok || !r.p.Knows(id) {
		return id, fmt.Errorf("%w: %s has not heard of %s", ErrCannot, r.p.Name, name)
	}
	return id, nil
}

// numbered is an entry that has no name but its number: cab/7.
func (w *World) numbered(place, num string) (entry.ID, bool) {
	p, err := w.Place(place)
	if err != nil {
		return entry.ID{}, false
	}
	seq, err := strconv.ParseUint(num, 10, 64)
	return entry.ID{Log: p.Device.Log(), Seq: seq}, err == nil && seq > 0
}

func (r writer) device(place string) (entry.Mark, error) { return r.mark(place, 0) }
func (r writer) first(place string) (entry.Mark, error)  { return r.mark(place, 1) }

// mark is an entry of a place's device that the writer holds: the last one
// where seq is 0.
func (r writer) mark(place string, seq uint64) (entry.Mark, error) {
	p, err := r.w.Place(place)
	if err != nil {
		return entry.Mark{}, err
	}
	var m entry.Mark
	var ok bool
	r.p.rep.Read(func(s *farm.State) { m, ok = s.Held(p.Device, seq) })
	if !ok {
		return m, fmt.Errorf("%w: %s knows nothing of %s", ErrCannot, r.p.Name, place)
	}
	return m, nil
}

func (w *World) wait(span string) error {
	d, err := parseSpan(span)
	w.Now += d
	return err
}

// clock sets a place's clock off: clock of cab +2y.
func (w *World) clock(ws []token) error {
	if len(ws) != 3 || ws[0].text != "of" {
		return fmt.Errorf("want: clock of PLACE +SPAN")
	}
	p, err := w.Place(ws[1].text)
	if err != nil {
		return err
	}
	p.off, err = parseSpan(ws[2].text)
	p.ahead = max(p.ahead, p.off)
	return err
}

// parseSpan reads 3h, -40m, +2y.
func parseSpan(s string) (int64, error) {
	for unit, ms := range map[string]int64{"s": 1000, "m": minute, "h": hour, "d": day, "y": 365 * day} {
		if n, ok := strings.CutSuffix(s, unit); ok {
			v, err := strconv.ParseInt(strings.TrimPrefix(n, "+"), 10, 32)
			return v * ms, err
		}
	}
	return 0, fmt.Errorf("%q is no span of time", s)
}

func (w *World) copy(ws []token) error {
	if len(ws) != 2 {
		return fmt.Errorf("want: copy PLACE NAME")
	}
	p, err := w.Place(ws[0].text)
	if err != nil {
		return err
	}
	d, err := p.disk.Copy()
	if err != nil {
		return err
	}
	w.copies[ws[1].text] = &copied{d, p.Device, p.key, p.stored}
	return nil
}

// restore puts an old copy in the place of what there is.
func (w *World) restore(ws []token) error {
	if len(ws) != 2 {
		return fmt.Errorf("want: restore PLACE NAME")
	}
	p, err := w.Place(ws[0].text)
	if err != nil {
		return err
	}
	c, ok := w.copies[ws[1].text]
	if !ok {
		return fmt.Errorf("%w: there is no copy %s", ErrCannot, ws[1].text)
	}
	d, err := c.disk.Copy()
	if err != nil {
		return err
	}
	if err := p.disk.Close(); err != nil {
		return err
	}
	p.disk, p.Device, p.key, p.stored = d, c.device, c.key, c.stored
	p.peers, p.met = map[string]chain.Frontier{}, map[string]any{}
	return w.start(p)
}

// memoryDisk is a record in memory, where a crash takes nothing.
type memoryDisk struct{ log *Memory }

// NewMemoryDisk is a disk on which nothing is ever lost.
func NewMemoryDisk() Disk { return &memoryDisk{} }

// Open gives the record.
func (d *memoryDisk) Open(f entry.FarmID) (replica.Log, error) {
	if d.log == nil {
		d.log = NewMemory(f)
	}
	return d.log, nil
}

// Power does nothing: every write is whole at once.
func (d *memoryDisk) Power(int) {}

// Dead is never so.
func (d *memoryDisk) Dead() bool { return false }

// Copy copies the record.
func (d *memoryDisk) Copy() (Disk, error) {
	if d.log == nil {
		return &memoryDisk{}, nil
	}
	return &memoryDisk{d.log.Clone()}, nil
}

// Close does nothing.
func (d *memoryDisk) Close() error { return nil }

// Digest is the digest of the place's state.
func (p *Place) Digest() [32]byte { return p.rep.Digest() }

// Frontier is how far each device's log is stored at the place.
func (p *Place) Frontier() chain.Frontier { return p.rep.Frontier() }
