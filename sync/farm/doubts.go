package farm

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"turnrow/sync/entry"
)

// doubtKey tells doubts apart: the kind, and the entries in order of their IDs.
func doubtKey(kind string, ids []entry.ID) string {
	ids = slices.Clone(ids)
	slices.SortFunc(ids, entry.ID.Compare)
	var b strings.Builder
	b.WriteString(kind)
	for _, id := range ids {
		b.WriteString(" " + id.String())
	}
	return b.String()
}

// finding is a doubt before it is put into words.
type finding struct {
	kind  DoubtKind
	about string
	recs  []*rec
}

func idsOf(rs []*rec) []entry.ID {
	ids := make([]entry.ID, len(rs))
	for i, r := range rs {
		ids[i] = r.id()
	}
	return ids
}

// listSt lists all that is in doubt.
type listSt struct{ slipSt }

// doubts is all that is in doubt, and what was and is settled: the open ones
// first, each in the order of its entries.
func (s *listSt) doubts(v *View, boxes []*thing, flows []*flow) (runs []doubtRun, opened int) {
	st := s.settlements()
	var open doubtList
	var settled []Doubt
	have := map[string]bool{}
	sums := sumsOf(flows)
	put := func(f finding, sl *slip) {
		ids := idsOf(f.recs)
		k := doubtKey(string(f.kind), ids)
		if have[k] {
			return
		}
		have[k] = true
		var d Doubt
		if words := open.n+len(settled) < worded; sl != nil {
			d = s.wordSlip(sl, ids, words, false)
		} else {
			d = s.word(f, ids, words)
			if f.kind == Balance {
				d.Why = sums[f.recs[0]]
			}
		}
		if by, ok := st[k]; ok && by.agreed && (sl == nil || sl.confirms(by.by.eff.(*entry.Settled))) {
			d.Settled, d.By = true, by.by.id()
			settled = append(settled, d)
			return
		}
		open.add(d)
	}
	add := func(f finding) { put(f, nil) }
	s.findings(boxes, flows, add, func(about string, pairs []twins) {
		for from := 0; from < len(pairs); {
			n := from
			for n < len(pairs) && open.n+len(settled) >= worded && !s.covered(DoubleEntry, pairs[n][0]) && !s.covered(DoubleEntry, pairs[n][1]) {
				n++
			}
			if n > from {
				open.addPairs(about, pairs[from:n])
				from = n
				continue
			}
			add(finding{DoubleEntry, about, pairs[from][:]})
			from++
		}
	})
	found := s.slips(v, boxes, flows)
	for i := range found {
		if found[i].askOnly {
			continue
		}
		put(found[i].finding, &found[i])
	}
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		k := doubtKey(b.Doubt, b.Entries)
		if by, ok := st[k]; ok && !have[k] {
			have[k] = true
			if d := s.settledDoubt(r, b, by.agreed); d.Settled {
				settled = append(settled, d)
			} else {
				open.add(d)
			}
		}
	}
	return append(open.runs, doubtRun{list: settled}), open.n
}

// doubtRun is some doubts in a row: a list, or pairs of entries that look
// written twice, so many that each is made a doubt only when it is looked at.
type doubtRun struct {
	list  []Doubt
	about string
	pairs []twins
}

// doubtList is doubts in a row while it is made.
type doubtList struct {
	runs []doubtRun
	n    int // of doubts
}

func (l *doubtList) add(d Doubt) {
	if n := len(l.runs); n == 0 || l.runs[n-1].pairs != nil {
		l.runs = append(l.runs, doubtRun{})
	}
	last := &l.runs[len(l.runs)-1]
	last.list = append(last.list, d)
	l.n++
}

func (l *doubtList) addPairs(about string, pairs []twins) {
	l.runs = append(l.runs, doubtRun{about: about, pairs: pairs})
	l.n += len(pairs)
}

// inARow gives the doubts of several runs.
func inARow(runs []doubtRun) iter.Seq[Doubt] {
	return func(yield func(Doubt) bool) {
		for i := range runs {
			if !runs[i].each(yield) {
				return
			}
		}
	}
}

func (r *doubtRun) each(yield func(Doubt) bool) bool {
	for _, d := range r.list {
		if !yield(d) {
			return false
		}
	}
	for _, p := range r.pairs {
		if !yield(unworded(DoubleEntry, r.about, []entry.ID{p[0].id(), p[1].id()})) {
			return false
		}
	}
	return true
}

func (s *listSt) settledDoubt(r *rec, b *entry.Settled, agreed bool) Doubt {
	f := finding{kind: DoubtKind(b.Doubt), about: s.aboutText(b.Entries)}
	for _, id := range b.Entries {
		if e := s.find(id); e != nil {
			f.recs = append(f.recs, e)
		}
	}
	d := s.word(f, b.Entries, true)
	d.Settled, d.By = agreed, r.id()
	return d
}

// findings gives all that is to be found to each, and the pairs of a box's
// entries that look written twice to doubles.
func (s *listSt) findings(boxes []*thing, flows []*flow, each func(finding), doubles func(about string, pairs []twins)) {
	all := func(fs []finding) {
		for i := range fs {
			each(fs[i])
		}
	}
	for _, k := range []thingKind{box, ground, lot, drill, person} {
		for _, t := range s.sorted(k) {
			all(s.contested(t))
		}
	}
	for i, t := range boxes {
		doubles(t.kind.String()+" "+s.name(t.id), flows[i].doubles)
		all(s.flowDoubts(t, flows[i]))
	}
	for _, t := range s.sorted(drill) {
		all(s.counterDoubts(t))
	}
	all(s.recordDoubts())
}

// contested finds the fields of a thing that were set apart to different
// values.
func (s *listSt) contested(t *thing) []finding {
	var out []finding
	for i := range t.fields {
		f := &t.fields[i]
		rs := f.contested()
		if rs == nil {
			continue
		}
		kind := TwoPlans
		if f.num == fieldDial {
			kind = TwoSettings
		}
		out = append(out, finding{kind, s.fieldText(t, f.field), rs})
	}
	return out
}

func (s *listSt) counterDoubts(t *thing) []finding {
	l := s.counterOf(t)
	about := "drill " + s.name(t.id)
	var out []finding
	if len(l.points) > 0 && l.points[0].open {
		out = append(out, finding{CounterBegin, about, []*rec{l.points[0].rec}})
	}
	for _, pair := range twoBegins(l.points) {
		out = append(out, finding{TwoBegins, about, pair})
	}
	for _, pair := range twoPieces(l.points) {
		out = append(out, finding{TwoPieces, about, pair})
	}
	return append(out, s.together(WorkedUnready, about, s.workedUnready(t, l.points))...)
}

// together makes one doubt of entries of one kind that no settlement names
// yet, so that a doubt that goes on is one doubt and not one an entry.
func (s *factSt) together(kind DoubtKind, about string, rs []*rec) []finding {
	open := slices.DeleteFunc(slices.Clone(rs), func(r *rec) bool { return s.covered(kind, r) })
	if len(open) == 0 {
		return nil
	}
	return []finding{{kind, about, open}}
}

// recordDoubts is what is in doubt about the record itself.
func (s *listSt) recordDoubts() []finding {
	var out []finding
	byDevice := map[*device][2][]*rec{}
	outside := slices.SortedFunc(slices.Values(s.outside), (*rec).compare)
	for _, r := range outside {
		sets := byDevice[r.dev]
		switch r.left {
		case noRight, hasNoForce:
			sets[0] = append(sets[0], r)
		case afterStop:
			sets[1] = append(sets[1], r)
		default:
			continue
		}
		byDevice[r.dev] = sets
	}
	for _, d := range s.devicesInOrder() {
		sets := byDevice[d]
		about := "device " + deviceName(d)
		out = append(out, s.together(NoRight, about, sets[0])...)
		out = append(out, s.together(AfterStop, about, sets[1])...)
	}
	out = append(out, s.oneInvite()...)
	out = append(out, s.forks()...)
	out = append(out, s.sameNames()...)
	out = append(out, s.clockDoubts()...)
	return append(out, s.amendedApart()...)
}

// oneInvite finds devices that were let in on one invite: a copied invite puts
// nobody out, and an owner stops the wrong one.
func (s *listSt) oneInvite() []finding {
	if s.stand == nil {
		return nil
	}
	var keys []entry.Key
	by := map[entry.Key][]*rec{}
	for _, p := range s.stand.order {
		if !p.joined() || p.stopped() {
			continue
		}
		if b, ok := p.firsts[0].body.(*entry.DeviceEnrolled); ok && b.Invite != (entry.Key{}) {
			if by[b.Invite] == nil {
				keys = append(keys, b.Invite)
			}
			by[b.Invite] = append(by[b.Invite], p.grants[0].by)
		}
	}
	var out []finding
	for _, k := range keys {
		if rs := by[k]; len(rs) > 1 {
			slices.SortFunc(rs, (*rec).compare)
			who := personNameOf(s, rs[0])
			out = append(out, finding{OneInvite, "the invite of " + who, rs})
		}
	}
	return out
}

func personNameOf(s *listSt, r *rec) string { return s.name(r.body.(*entry.Admitted).Person) }

func (s *orderSt) devicesInOrder() []*device {
	ds := slices.Clone(s.devices)
	slices.SortFunc(ds, func(a, b *device) int { return a.id.Compare(b.id) })
	return ds
}

// sameNames finds things of a kind, made apart, that go by one name.
func (s *listSt) sameNames() []finding {
	var out []finding
	for k := range thingKind(len(thingNames)) {
		ts := s.sorted(k)
		for i, a := range ts {
			for _, b := range ts[i+1:] {
				if a.text(nameField(k)) == b.text(nameField(k)) && s.sameDrill(a, b) && apart(a.made, b.made) {
					out = append(out, finding{SameName, k.String() + " " + a.text(nameField(k)), []*rec{a.made, b.made}})
				}
			}
		}
	}
	return out
}

func (s *workSt) sameDrill(a, b *thing) bool {
	return a.kind != box || s.drillFor(a) == s.drillFor(b)
}

// amendedApart finds entries that people changed apart to different words, or
// that one struck while another reworded them.
func (s *listSt) amendedApart() []finding {
	var of []*rec
	for _, r := range s.edited {
		if parted(r) != nil {
			of = append(of, r)
		}
	}
	slices.SortFunc(of, (*rec).compare)
	var out []finding
	for _, r := range of {
		out = append(out, finding{AmendedApart, s.aboutText(about(r.body)), parted(r)})
	}
	return out
}

// worded is how many doubts are put into words. A crew has a handful; whoever
// has more than this settles these first, and the words of others follow.
const worded = 500

// word puts a finding into words, or only says what it is and rests on.
func (s *wordSt) word(f finding, entries []entry.ID, words bool) Doubt {
	if !words {
		return unworded(f.kind, f.about, entries)
	}
	d := Doubt{Kind: f.kind, About: f.about, Look: looks[f.kind], Entries: entries}
	what := make([]string, len(f.recs))
	for i, r := range f.recs {
		what[i] = fmt.Sprintf("%s on %s: %s", s.personName(r), deviceName(r.dev), s.what(r.body))
	}
	d.What = strings.Join(what, "; ")
	d.Choices = s.choices(f)
	return d
}

func unworded(kind DoubtKind, about string, entries []entry.ID) Doubt {
	return Doubt{
		Kind: kind, About: about, Look: looks[kind], Entries: entries,
		What: "one of very many doubts: settle the first ones, and this one is put into words",
	}
}

// looks says what to go and look at.
var looks = map[DoubtKind]string{
	TwoSettings:    "go to the box and read its dial: the dial is one thing on one machine",
	DoubleEntry:    "ask both, or count the empty bags: was the box filled once or twice?",
	TwoPlans:       "ask both which of the two is meant",
	UnprovedRate:   "catch and weigh seed of this lot at this dial",
	CounterBack:    "read the counter again: was it set back, misread, or written down late?",
	CounterBegin:   "ask whoever began where the counter stood then: a note, a photo, the reading when it was borrowed",
	TwoBegins:      "ask both where the counter stood when work began; others may have had the drill between",
	TwoPieces:      "ask both which ground was worked between these readings",
	Balance:        "look into the box, and weigh what is left",
	MixedLots:      "look what is in the box, and at the plan",
	TwoSeeds:       "ask who poured it, or look into the box: were the two mixed, or does one lie on the other?",
	WorkedUnready:  "look the hitch over and ask who was driving: the drill was worked while it was not ready",
	NoRight:        "ask an owner whether this person should have that right, and write it again if so",
	AfterStop:      "ask who has the device: an owner may take these notes in",
	SameName:       "say whether these are one thing or two, and rename one",
	WrongClock:     "look at the clock of each device",
	Forked:         "the device was restored from a copy: it must join anew",
	AmendedApart:   "ask both which wording is right",
	OneInvite:      "ask who was meant to have the invite, and stop the other device",
	OverFull:       "look how full the box is, and count the empty bags",
	LittlePoured:   "look into the box: was it pounds or kilograms?",
	PouredTwice:    "count the empty bags: was it filled once, or twice?",
	LevelTooHigh:   "look into the box again; was a fill not written down?",
	LevelTooLow:    "look into the box and weigh again: grams or pounds? was a drain not written down?",
	OverDrained:    "weigh again what was let out; was a fill not written down?",
	MoreThanCame:   "count the bags: did more come than is written?",
	NearName:       "ask who wrote it: one and the same, or two?",
	UnlikelyDial:   "go to the box and read its dial: is it what was meant?",
	SameDial:       "go to the box and read its dial",
	UnlikelyRate:   "look at the seed's tag, and at what is advised where you are",
	UnlikelyWidth:  "measure it on the drill",
	OtherSpecies:   "read the tag of the bag: which seed went into which box?",
	TooManyAcres:   "read the counter again: is it the right reading, and the right piece?",
	RanDry:         "look at the ground, and count the empty bags: was a fill not written down?",
	TooFast:        "read the counter again: is it the right reading?",
	TooFarBack:     "read the counter again, or leave it out: what did it show when that was done?",
	UnlikelyCatch:  "weigh it again, or catch once more: what did the scale show?",
	NearSpecies:    "ask who wrote it, and read the tag: which species is it?",
	ChangedSpecies: "read the tag of the bag: which seed was poured?",
	OtherLabel:     "read the tag of the bag: which species is it?",
	UnclearCoating: "look at the tag: is the purity a share of all that is in the bag, or of the seed without its coating?",
	FinishedEarly:  "look at the ground, and read the counter: was all of it sown?",
}

// choices is the ways to settle a finding.
func (s *wordSt) choices(f finding) []Choice {
	switch f.kind {
	case TwoPlans:
		cs := s.eachOf(f.recs)
		for i, text := range s.valuesIn(&f) {
			cs[i].What = text + " (" + cs[i].What + ")"
		}
		return cs
	case TwoSettings:
		return s.eachOf(f.recs)
	case SameName:
		one := Choice{Word: "one", What: "they are one and the same", Stands: []entry.ID{f.recs[0].id()}}
		return []Choice{one, {Word: "two", What: "they are two: rename one"}}
	case DoubleEntry:
		return append(s.eachOf(f.recs), Choice{Word: "both", What: "each happened", Stands: idsOf(f.recs)})
	case TwoBegins:
		return append(s.eachOf(f.recs), Choice{Word: "both", What: "each is true: others had the drill between", Stands: idsOf(f.recs)})
	case TwoSeeds:
		return []Choice{
			{Word: entry.Blended, What: "they are mixed, and go out together by what there is of each", Say: entry.Blended},
			{Word: entry.Layered, What: "one lies above the other: what was poured first goes out first", Say: entry.Layered},
		}
	case CounterBegin:
		return []Choice{{Word: entry.BeganAt, What: "the counter stood at so much when work began", Say: entry.BeganAt}}
	}
	if f.kind.IsSlip() {
		return []Choice{asWritten("", entry.Opt[int64]{})}
	}
	return []Choice{{Word: "seen", What: "someone looked, and it is as written"}}
}

func (s *wordSt) eachOf(rs []*rec) []Choice {
	var out []Choice
	for i, r := range rs {
		out = append(out, Choice{Word: fmt.Sprint(i + 1), What: s.personName(r) + ": " + s.what(r.body), Stands: []entry.ID{r.id()}})
	}
	return out
}
