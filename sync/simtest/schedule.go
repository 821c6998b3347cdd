package simtest

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Options say what a schedule may hold.
type Options struct {
	Disks func(r *rand.Rand) func(place string) Disk // nil: all in memory
	Plain bool                                       // hold each step against the naive fold, not only the end
	// Hostile has one of the crew's devices lie, and the founder stop it before the
	// end; Session is how the others exchange meanwhile.
	Hostile bool
	Session func(*Session) error
}

// Outcome is a schedule as it went.
type Outcome struct {
	Seed  uint64
	Lines []string
	Err   error
}

// Story is the outcome as a story that replays it.
func (o *Outcome) Story() string {
	head := fmt.Sprintf("# Schedule %d: %s\n", o.Seed, firstLine(o.Err))
	return head + strings.Join(o.Lines, "\n") + "\n"
}

func firstLine(err error) string {
	if err == nil {
		return "nothing amiss"
	}
	text, _, _ := strings.Cut(err.Error(), "\n")
	return text
}

// Run makes the schedule of a seed and checks every rule on the way.
func Run(seed uint64, o Options) *Outcome {
	r := rand.New(rand.NewPCG(seed, 0x7475726e726f77))
	w := New()
	if o.Disks != nil {
		w.Disks = o.Disks(r)
	}
	o.apply(w)
	m := &maker{Rand: r, w: w, o: o, out: &Outcome{Seed: seed}, forks: r.IntN(4) == 0}
	if o.Hostile {
		m.liar, m.forks = "mal", false
	}
	m.out.Err = m.run()
	if err := w.Close(); m.out.Err == nil {
		m.out.Err = err
	}
	return m.out
}

// apply sets a world up.
func (o Options) apply(w *World) {
	w.Look = w.Safe
	if o.Plain {
		w.Look = w.Plain
	}
	if o.Hostile {
		w.Session = o.Session
	}
}

// Redo does the lines of a schedule again. Lines that cannot be done, since
// others were taken out, are passed over.
func Redo(lines []string, o Options) error {
	w := New()
	if o.Disks != nil {
		w.Disks = o.Disks(rand.New(rand.NewPCG(1, 1)))
	}
	o.apply(w)
	defer w.Close()
	for _, l := range lines {
		if err := w.Do(l); err != nil && !errors.Is(err, ErrCannot) {
			return err
		}
	}
	return w.Healed()
}

// maker makes a schedule, line by line, by what the world is like.
type maker struct {
	*rand.Rand
	w       *World
	o       Options
	out     *Outcome
	n       int  // of entries made
	counter int  // what the drill's counter would truly show, thousandths
	forks   bool // devices go on from old copies
	asleep  map[string]int64
	things  map[string][]string // names by kind: person, ground, lot, box, list, hitch, hold, fact, place
	mail    []string
	files   []string
	copies  [][2]string // place and name
	papers  []string    // places that a code on paper let in
	liar    string      // a place whose device lies; none where all are honest
	crowded int         // how often it brought a crowd
	undid   bool        // what a stop took was taken in again
	verbOf  map[string]string
}

// run is the whole schedule: the setting, the days, and the healing.
func (m *maker) run() error {
	m.asleep, m.things, m.verbOf = map[string]int64{}, map[string][]string{}, map[string]string{}
	if err := m.setting(); err != nil {
		return err
	}
	steps := 10 + m.IntN(40)
	if m.IntN(4) == 0 {
		steps *= 3
	}
	for range steps {
		if err := m.step(); err != nil {
			return err
		}
	}
	for _, name := range slices.Concat(m.mail) {
		if err := m.do(name + " arrives"); err != nil {
			return err
		}
	}
	if m.liar != "" {
		if err := m.ending(); err != nil {
			return err
		}
	}
	return m.w.Healed()
}

// do does a line. One that cannot be done is left out of the schedule.
func (m *maker) do(l string) error {
	err := m.w.Do(l)
	if errors.Is(err, ErrCannot) {
		return nil
	}
	m.out.Lines = append(m.out.Lines, l)
	return err
}

func (m *maker) dof(format string, args ...any) error { return m.do(fmt.Sprintf(format, args...)) }

func (m *maker) lines(ls ...string) error {
	for _, l := range ls {
		if err := m.do(l); err != nil {
			return err
		}
	}
	return nil
}

// crewNames are who joins, in order, with what role.
var crewNames = []struct{ person, place, role string }{
	{"Ben", "cab", "operator"}, {"Cleo", "yard", "helper"}, {"Dov", "truck", "operator"}, {"Edda", "barn", "owner"},
	{"Finn", "hill", "helper"}, {"Gita", "shed", "operator"}, {"Hal", "gate", "viewer"},
}

// setting is a farm with a small crew.
func (m *maker) setting() error {
	crew := crewNames[:1+m.IntN(3)]
	if m.IntN(5) == 0 {
		crew = crewNames[:1+m.IntN(len(crewNames))]
	}
	err := m.lines(`house founds "Quill Hollow" owner Ada`, "server keeps",
		`house: drill = drill rows 10 spacing 7.5 in counter acres`,
		`house: grain = box of drill lowest 0 highest 100`,
		`house: grass = box of drill lowest 0 highest 60 sides left right feeds 4 6`,
		`house: oats = lot species oat bag 50 lb`, `house: label lot oats seed oat share 98% germination 90%`,
		`house: fescue = lot species "tall fescue"`,
		`house: chart box grain species oat dial 40 rate 41 lb/ac`,
		`house: bench = ground area 7.5 ac`, `house: knoll = ground area 3 ac`,
		`house: list = checks version 1 item pin required item hoses required item gloves`)
	if err != nil {
		return err
	}
	m.things = map[string][]string{
		"person": {"Ada"}, "ground": {"bench", "knoll"}, "lot": {"oats", "fescue"}, "box": {"grain", "grass"},
		"list": {"list"}, "place": {"house"},
	}
	for _, c := range crew {
		err := m.lines(fmt.Sprintf("house: %s = member role %s", c.person, c.role),
			fmt.Sprintf("house: for%s = invite person %s", c.place, c.person),
			fmt.Sprintf("%s joins by for%s", c.place, c.place))
		if err != nil {
			return err
		}
		m.things["person"] = append(m.things["person"], c.person)
		m.things["place"] = append(m.things["place"], c.place)
	}
	if m.liar != "" {
		if err := m.liarJoins(); err != nil {
			return err
		}
	}
	for range 2 {
		for _, p := range m.things["place"] {
			if err := m.dof("%s meets server", p); err != nil {
				return err
			}
		}
	}
	return nil
}

// chance is one way for a schedule to go on.
type chance struct {
	weight int
	step   func(*maker) error
}

var chances = []chance{
	{60, (*maker).writing}, {22, (*maker).meeting}, {8, (*maker).passing}, {4, (*maker).trouble}, {4, (*maker).crewing},
}

func (m *maker) step() error {
	if m.liar != "" && m.IntN(3) == 0 {
		return m.lying()
	}
	if m.liar != "" && m.IntN(40) == 0 {
		return m.do("server rebuilds")
	}
	if m.o.Disks != nil && m.IntN(12) == 0 {
		return m.dof("%s power %d", one(m, m.w.places).Name, 1+m.IntN(12))
	}
	return pick(m, chances).step(m)
}

func pick(m *maker, cs []chance) chance {
	sum := 0
	for _, c := range cs {
		sum += c.weight
	}
	n := m.IntN(sum)
	for _, c := range cs {
		if n -= c.weight; n < 0 {
			return c
		}
	}
	return cs[0]
}

func one[T any](m *maker, list []T) T { return list[m.IntN(len(list))] }

// recent is one of a list, rather a late one.
func recent(m *maker, list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[len(list)-1-min(m.IntN(len(list)), m.IntN(len(list)))]
}

// awake are the places that take part just now.
func (m *maker) awake() []*Place {
	var ps []*Place
	for _, p := range m.w.places {
		if m.asleep[p.Name] <= m.w.Now {
			ps = append(ps, p)
		}
	}
	return ps
}

// writer is a place that can write.
func (m *maker) writer() *Place {
	var ps []*Place
	for _, p := range m.awake() {
		if !p.Device.IsZero() && m.w.forgers[p.Name] == nil && !p.Gone() {
			ps = append(ps, p)
		}
	}
	if len(ps) == 0 {
		return nil
	}
	return one(m, ps)
}

// write has a place write words under a new name.
func (m *maker) write(p *Place, kind, words string) error {
	if words == "" {
		return nil
	}
	m.n++
	label := fmt.Sprintf("e%d", m.n)
	who := p.Name
	if m.IntN(10) == 0 {
		who += " (" + one(m, m.things["person"]) + ")"
	}
	err := m.dof("%s: %s = %s", who, label, words)
	if _, ok := m.w.labels[label]; ok {
		m.things[kind] = append(m.things[kind], label)
		m.verbOf[label], _, _ = strings.Cut(words, " ")
	}
	return err
}

func (m *maker) writing() error {
	p := m.writer()
	if p == nil {
		return m.passing()
	}
	c := pickWords(m)
	return m.write(p, c.kind, c.words(m, p))
}

// meeting is a call, or part of one.
func (m *maker) meeting() error {
	ps := m.awake()
	if len(ps) < 2 {
		return m.passing()
	}
	p, q := one(m, ps), one(m, ps)
	if p == q {
		return nil
	}
	switch m.IntN(10) {
	case 0, 1, 2:
		return m.dof("%s meets %s", p.Name, q.Name)
	case 3, 4:
		return m.dof("%s calls %s bytes %d %s", p.Name, q.Name, 100+m.IntN(900), one(m, []string{"", "lost", "unanswered", "twice"}))
	case 5:
		name := fmt.Sprintf("m%d", len(m.mail)+1)
		m.mail = append(m.mail, name)
		return m.dof("%s posts %s to %s", p.Name, name, q.Name)
	case 6, 7:
		if len(m.mail) == 0 {
			return nil
		}
		return m.dof("%s %s", one(m, m.mail), one(m, []string{"arrives", "arrives", "returns"}))
	case 8:
		name := fmt.Sprintf("c%d", len(m.files)+1)
		m.files = append(m.files, name)
		return m.dof("%s carries %s", p.Name, name)
	default:
		if len(m.files) == 0 {
			return nil
		}
		cut := ""
		if m.IntN(2) == 0 {
			cut = fmt.Sprintf(" cut %d%%", m.IntN(101))
		}
		return m.dof("%s takes %s%s", p.Name, one(m, m.files), cut)
	}
}

// passing is time that passes, and clocks that are wrong.
func (m *maker) passing() error {
	p := one(m, m.w.places)
	switch m.IntN(5) {
	case 0:
		m.asleep[p.Name] = m.w.Now + int64(1+m.IntN(8))*hour
		return nil
	case 1:
		return m.dof("clock of %s %s", p.Name, one(m, []string{"+2y", "-3y", "-40m", "+7m", "+0s", "+0s", "+11h", "-1d"}))
	default:
		return m.dof("wait %s", one(m, []string{"30s", "3m", "25m", "1h", "7h"}))
	}
}

// trouble is crashes and old copies.
func (m *maker) trouble() error {
	p := one(m, m.w.places)
	switch m.IntN(5) {
	case 0, 1:
		return m.dof("%s crashes", p.Name)
	case 2:
		return m.dof("%s power %d", p.Name, 1+m.IntN(12))
	case 3:
		if !m.forks {
			return nil
		}
		name := fmt.Sprintf("k%d", len(m.copies)+1)
		m.copies = append(m.copies, [2]string{p.Name, name})
		return m.dof("copy %s %s", p.Name, name)
	default:
		if len(m.copies) == 0 {
			return nil
		}
		c := one(m, m.copies)
		return m.dof("restore %s %s", c[0], c[1])
	}
}

// crewing is people and devices that come and go.
func (m *maker) crewing() error {
	p := m.writer()
	if p == nil || m.liar != "" { // the founder is to be there at the end
		return nil
	}
	for _, g := range m.w.places {
		if g.Gone() && m.IntN(2) == 0 {
			m.n++
			inv := fmt.Sprintf("e%d", m.n)
			return m.lines(fmt.Sprintf("%s: %s = invite person Ada", p.Name, inv), fmt.Sprintf("%s anew by %s", g.Name, inv))
		}
	}
	switch m.IntN(6) {
	case 0:
		return m.write(p, "person", "member role "+one(m, roleNames))
	case 1:
		return m.write(p, "invite", "invite person "+one(m, m.things["person"]))
	case 2, 3:
		if inv := recent(m, m.things["invite"]); inv != "" {
			name := fmt.Sprintf("new%d", len(m.things["place"]))
			err := m.dof("%s joins by %s", name, inv)
			if _, bad := m.w.Place(name); bad == nil {
				m.things["place"] = append(m.things["place"], name)
			}
			return err
		}
		return nil
	case 4:
		return m.write(p, "crew", fmt.Sprintf("change member %s role %s", one(m, m.things["person"]), one(m, roleNames)))
	}
	switch m.IntN(6) {
	case 4:
		return m.write(p, "crew", fmt.Sprintf("admit device %s person %s role %s", one(m, m.things["place"]),
			one(m, m.things["person"]), one(m, roleNames)))
	case 5:
		return m.admitting(p)
	case 0:
		return m.write(p, "crew", fmt.Sprintf("stop member %s why left", one(m, m.things["person"])))
	case 1:
		return m.write(p, "crew", fmt.Sprintf("takein device %s why found", one(m, m.things["place"])))
	}
	return m.write(p, "crew", fmt.Sprintf("cutoff device %s why lost", one(m, m.things["place"])))
}

// admitting is what is rare about who is let in: papers, porters, refusals.
func (m *maker) admitting(p *Place) error {
	switch m.IntN(3) {
	case 0:
		name := fmt.Sprintf("new%d", len(m.things["place"]))
		papers := append([]string{"house"}, m.papers...)
		line := fmt.Sprintf("%s recovers by %s", name, one(m, papers))
		if m.IntN(2) == 0 {
			line += " stops " + one(m, m.things["place"])
		}
		err := m.do(line)
		if _, bad := m.w.Place(name); bad == nil {
			m.things["place"] = append(m.things["place"], name)
			m.papers = append(m.papers, name)
		}
		return err
	case 1:
		return m.write(p, "crew", fmt.Sprintf("admit device %s refused", one(m, m.things["place"])))
	}
	return m.write(p, "crew", fmt.Sprintf("admit device %s porter", one(m, m.things["place"])))
}

var roleNames = []string{"viewer", "helper", "operator", "operator", "owner"}

// Known kinds of doubt that the schedules settle, and how.
func (m *maker) settling(p *Place) string {
	var open []string
	for d := range p.View().Doubts() {
		names := make([]string, 0, len(d.Entries))
		for _, id := range d.Entries {
			names = append(names, m.w.Called(id))
		}
		if len(names) == 0 || d.Settled && m.IntN(4) > 0 {
			continue
		}
		line := fmt.Sprintf("settle doubt %s of %s", d.Kind, strings.Join(names, " "))
		switch n := m.IntN(4); {
		case n < 3 && d.Kind == farm.CounterBegin:
			line += fmt.Sprintf(" choice began-at value %d", max(0, m.counter-m.IntN(3000)))
		case n < 3 && d.Kind == farm.CounterBack && len(d.Choices) > 0:
			c := d.Choices[m.IntN(len(d.Choices))]
			line += fmt.Sprintf(" choice %s value %d", c.Say, c.Value.Val)
		case n < 3 && d.Kind == farm.TwoSeeds:
			line += " choice " + one(m, []string{entry.Blended, entry.Layered})
		case n < 2:
			line += " stands " + one(m, names)
		case n == 2:
			line += fmt.Sprintf(" dial %d", m.IntN(60))
		}
		open = append(open, line+" why looked")
	}
	if len(open) == 0 {
		return ""
	}
	return one(m, open)
}

// know is one of a list that the place has heard of, rather a late one.
func (m *maker) know(p *Place, list []string) string {
	var heard []string
	for _, name := range list {
		if mark, ok := m.w.labels[name]; ok && p.Knows(p.id(mark)) {
			heard = append(heard, name)
		}
	}
	return recent(m, heard)
}

// entryKind is what an entry of a name is.
func (m *maker) entryKind(name string) entry.Kind { return verbs[m.verbOf[name]].kind }
