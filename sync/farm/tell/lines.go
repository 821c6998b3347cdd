package tell

import (
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// Teller makes messages of entries, fields and conflicts.
type Teller struct{ view.Views }

// Lines is the audit: every entry that took its place, in the total order.
func (s *Teller) Lines() []view.Line {
	rs := slices.Clone(s.InPlace)
	slices.SortFunc(rs, (*order.Rec).Compare)
	out := make([]view.Line, len(rs))
	for i, r := range rs {
		out[i] = s.line(r)
	}
	return out
}

// Line is one entry as the audit shows it.
func (s *Teller) Line(id entry.ID) (view.Line, bool) {
	r := s.Find(id)
	if r == nil {
		return view.Line{}, false
	}
	return s.line(r), true
}

// leftOut is why an entry does not count.
var leftOut = [...]message.ID{
	order.NoRight: "left-out.no-right", order.AfterStop: "left-out.stopped", order.NotJoined: "left-out.not-joined",
	order.NotKnown: "left-out.not-known", order.HasNoForce: "left-out.no-force",
}

func (s *Teller) line(r *order.Rec) view.Line {
	l := view.Line{
		ID: r.ID(), Wall: r.Wall, Clock: r.Time.Millis(), Person: order.PersonID(r), By: s.PersonName(r),
		Device: crew.DeviceName(r.Log), On: crew.OnWhose(r), Kind: r.Body.Kind(), What: s.What(r.Body),
		About: rule.About(r.Body), Body: r.Body, Now: r.Eff,
	}
	if r.Left != order.Counts {
		l.LeftOut = leftOut[r.Left]
	}
	if r.Left == order.NoRight {
		l.Needs = s.Needed(r)
	}
	if sig, ok := r.Body.(*entry.ItemSigned); ok && r.Left != order.Counts {
		l.What = message.Of("not-signed", s.item(sig))
	}
	if begun, ok := r.Body.(*entry.HitchBegun); ok && r.Left != order.Counts {
		l.What = noted(message.Of("not-begun", s.Called(begun.Drill)), begun.Tractor)
	}
	if r.Edits != nil && r.Left == order.Counts {
		l.Struck = r.Eff == nil
		l.Amended = r.Eff != nil && r.Eff != r.Body
	}
	if sig, ok := r.Eff.(*entry.ItemSigned); ok {
		l.Void, l.Ended = s.SignatureStands(r, sig)
	}
	return l
}

// AboutText names the things that entries are about, each once. A thing is
// named whether its entry counts or not, and whatever else spoke of it here:
// that may depend on what came first.
func (s *Teller) AboutText(ids []entry.ID) message.Message {
	type named struct {
		kind thing.ThingKind
		name message.Name
	}
	var all []named
	asked := map[entry.ID]bool{}
	var ask func([]entry.ID)
	ask = func(ids []entry.ID) {
		for _, id := range ids {
			r := s.Find(id)
			if r == nil || asked[id] {
				continue
			}
			asked[id] = true
			if k, ok := rule.Makes(r.Body); ok {
				all = append(all, named{k, s.Called(id)})
			} else {
				ask(rule.About(r.Body))
			}
		}
	}
	ask(ids)
	order := func(a, b named) int {
		return strings.Compare(a.kind.String()+" "+a.name.Name, b.kind.String()+" "+b.name.Name)
	}
	slices.SortFunc(all, order)
	all = slices.CompactFunc(all, func(a, b named) bool { return order(a, b) == 0 })
	ms := make([]message.Message, len(all))
	for i, n := range all {
		ms[i] = n.kind.Named(n.name)
	}
	return inARow(message.Commas, ms)
}

// inARow is messages in a row; one of them by itself.
func inARow(kind message.ID, ms []message.Message) message.Message {
	if len(ms) == 1 {
		return ms[0]
	}
	return message.List(kind, ms...)
}

func (s *Teller) whatAdmitted(b *entry.Admitted) message.Message {
	device := message.Name{Name: s.DeviceName(b.Device)}
	switch {
	case b.Refused:
		return message.Of("refused-device", device)
	case b.Porter:
		return message.Of("made-porter", device)
	}
	return message.Of("let-in", s.Called(b.Person), message.TermOf("role", b.Role.String()), device)
}

func (s *Teller) planned(b *entry.PlanSet) message.Message {
	ground := s.Called(b.Ground)
	var parts []message.Message
	for _, c := range b.Components {
		lot, box := s.Called(c.Lot), s.Called(c.Box)
		switch {
		case c.Removed:
			parts = append(parts, message.Of("plan.removed", lot, box))
		case c.Seeds > 0:
			parts = append(parts, message.Of("plan.seeds", lot, box, message.Density(c.Seeds)))
		default:
			parts = append(parts, message.Of("plan.live", lot, box, message.RateAs(c.Live)))
		}
	}
	if len(parts) == 0 {
		return message.Of("planned", ground)
	}
	return message.Of("planned-seed", ground, message.List(message.Commas, parts...))
}

// latest is what an entry stands for now; what it said, where it does not count or
// is struck, and nil where it is not here.
func (s *Teller) latest(id entry.ID) entry.Body {
	switch r := s.Find(id); {
	case r == nil:
		return nil
	case r.Eff != nil:
		return r.Eff
	default:
		return r.Body
	}
}

func (s *Teller) setName(n entry.Opt[string], id entry.ID) message.Name {
	if n.Set {
		return message.Name{Of: id, Name: n.Val}
	}
	return s.Called(id)
}

// noted is what was written with a note of its writer, if there is one.
func noted(what message.Message, note string) message.Message {
	if note == "" {
		return what
	}
	return message.Of("noted", what, message.Text(note))
}

// counterAt is what was done, with what the counter showed then, where its writer
// said so.
func counterAt(what message.Message, o entry.Opt[units.Reading]) message.Message {
	if !o.Set {
		return what
	}
	return message.Of("counter-at", what, message.Decimal(o.Val))
}

// Amount is how much a fill poured, in the unit that it was written in.
func Amount(b *entry.Filled) message.Arg {
	if b.Mass > 0 {
		return message.MassAs(b.Mass, b.MassIn)
	}
	return Bags(b.Bags)
}

// Level is a level as it was written: a mass, or a share of full.
func Level(b *entry.LevelRead) message.Arg {
	if b.Share.Set {
		return message.Of("of-full", message.Decimal(b.Share.Val))
	}
	return message.MassAs(b.Mass.Val, b.MassIn)
}

// Bags is a number of bags.
func Bags(n units.Count) message.Message { return message.Of("bags", message.Decimal(n)) }

func (s *Teller) drained(b *entry.Drained) message.Message {
	box := s.BoxText(b.Box, b.Side)
	switch {
	case b.All && b.Mass > 0:
		return message.Of("emptied-of", box, message.MassAs(b.Mass, b.MassIn))
	case b.All:
		return message.Of("emptied", box)
	case b.Mass > 0:
		return message.Of("drained-of", box, message.MassAs(b.Mass, b.MassIn))
	}
	return message.Of("drained", box)
}

func (s *Teller) moved(b *entry.DialMoved) message.Message {
	box, to := s.BoxText(b.Box, b.Side), s.Mark(b.Box, b.Side, b.To)
	what := message.Of("dial-to", box, to)
	if b.From.Set && b.From.Val != b.To {
		what = message.Of("dial-from-to", box, s.Mark(b.Box, b.Side, b.From.Val), to)
	}
	if b.Aim > 0 {
		what = message.Of("aiming-at", what, message.RateAs(b.Aim))
	}
	return what
}

// printed is a chart's rate as it is printed, with what that comes to.
func printed(b *entry.ChartPointSet) message.Arg {
	switch {
	case b.Rate == 0:
		return message.Of("nothing-printed")
	case b.Printed != "":
		return message.Of("printed", message.Text(b.Printed), message.RateAs(b.Rate))
	}
	return message.RateAs(b.Rate)
}

func (s *Teller) caught(b *entry.Caught) message.Message {
	var masses []message.Arg
	for _, m := range b.Masses {
		masses = append(masses, message.Caught(m, b.MassIn))
	}
	if len(b.RowMasses) > 0 {
		masses = []message.Arg{message.Caught(work.CaughtInAll(b), b.MassIn)}
	}
	over := message.Arg(message.Of("turns", message.Decimal(b.Turns)))
	if b.Distance > 0 {
		over = message.LengthAs(b.Distance, b.DistanceIn)
	}
	width := message.Of("rows", message.Whole(b.Rows))
	if b.Width > 0 {
		width = message.Of("wide", message.LengthAs(b.Width, b.WidthIn))
	}
	return message.Of("caught", message.Message{ID: message.Commas, Args: masses}, s.Called(b.Lot),
		s.BoxText(b.Box, b.Side), s.Mark(b.Box, b.Side, b.Dial), width, over)
}

// Measure is a volume as it was written.
func Measure(v units.Volume, in units.In, heaped bool) message.Arg {
	if heaped {
		return message.Of("heaped", message.VolumeAs(v, in))
	}
	return message.VolumeAs(v, in)
}

func (s *Teller) finished(b *entry.GroundFinished) message.Message {
	what := message.Of("finished", s.Called(b.Ground))
	if !b.Finished {
		what = message.Of("not-finished", s.Called(b.Ground))
	}
	what = counterAt(what, b.Reading)
	if b.Correction.Set {
		what = message.Of("counter-taken-at", what, message.Decimal(b.Correction.Val))
	}
	return what
}

func (s *Teller) read(b *entry.MeterRead) message.Message {
	if !b.Ground.IsZero() {
		return message.Of("counter-on", message.Decimal(b.Reading), s.Called(b.Ground))
	}
	return message.Of("counter", message.Decimal(b.Reading))
}

func (s *Teller) item(b *entry.ItemSigned) message.Arg {
	if h := s.Find(b.Hitch); h != nil {
		if begun, ok := h.Body.(*entry.HitchBegun); ok {
			if list := s.Checklist(begun.Checks); list != nil && b.Item <= int64(len(list.Items)) {
				return message.Text(list.Items[b.Item-1].Name)
			}
		}
	}
	return message.Of("check-number", message.Whole(b.Item))
}

func (s *Teller) stands(b *entry.Settled) message.Arg {
	if b.Dial.Set {
		of, side := entry.ID{}, int64(0)
		if len(b.Entries) > 0 {
			of, side = s.DialOfEntry(b.Entries[0])
		}
		return message.Of("dial-reads", s.Mark(of, side, b.Dial.Val))
	}
	if b.Choice == entry.BeganAt && b.Value.Set {
		return message.Of("counter-stood", message.Decimal(b.Value.Val))
	}
	if b.Choice != "" {
		return message.TermOf("choice-word", b.Choice)
	}
	var parts []message.Message
	for _, id := range b.Stands {
		if r := s.Find(id); r != nil {
			parts = append(parts, s.What(r.Body))
		}
	}
	if len(parts) == 0 {
		return message.Of("seen")
	}
	return message.Of("stands", inARow(message.Semicolons, parts))
}

// FieldText names a field of a thing.
func (s *Teller) FieldText(t *thing.Thing, f thing.Field) message.Message {
	of := s.ThingText(t)
	switch {
	case f.Num == thing.FieldDial:
		return message.Of("field.dial", s.BoxText(t.ID, f.N))
	case f.Num == thing.FieldChart:
		return message.Of("field.chart", of, message.Text(f.S), s.Mark(t.ID, 0, units.Dial(f.N)))
	case f.Num == thing.FieldMarks:
		return message.Of("field.marks", s.BoxText(t.ID, f.N))
	case f.Num == thing.PlanComponent:
		return message.Of("field.plan", of, s.Called(f.X), s.Called(f.Y))
	case f.Num == thing.FieldCorrection:
		return message.Of("field.correction", of)
	case f.Num == thing.FieldFinished:
		return message.Of("field.finished", s.Called(t.ID))
	case f.Num == thing.PlanDepth:
		return message.Of("field.depth", of)
	case f.Num == thing.PlanNurse:
		return message.Of("field.nurse", of)
	case f.Num >= thing.LabelLine && f.Num <= thing.LabelCounted:
		what := message.Of(labelFields[f.Num-thing.LabelLine])
		if f.S != "" {
			what = message.Of("label.of", what, lineName(f.S))
		}
		return message.Of("label.field", what, of)
	}
	if names := fieldNames[t.Kind]; f.Num < len(names) && names[f.Num] != "" {
		return message.Of("field", message.Of(names[f.Num]), of)
	}
	return of
}

var fieldNames = map[thing.ThingKind][]message.ID{
	thing.Person: {thing.MemberName: "field.name", thing.MemberRole: "field.role", thing.MemberStop: "field.place"},
	thing.Ground: {thing.GroundName: "field.name", thing.GroundArea: "field.area", thing.GroundSlope: "field.slope", thing.GroundState: "field.state", thing.GroundNotes: "field.notes", thing.GroundSpray: "field.spray", thing.GroundRings: "field.boundary"},
	thing.Drill:  {thing.DrillName: "field.name", thing.DrillRows: "field.rows", thing.DrillSpacing: "field.row-spacing", thing.DrillWidth: "field.width", thing.DrillRoll: "field.wheel-roll", thing.DrillWheelTurns: "field.wheel-turns-per-acre", thing.DrillCounter: "field.counter", thing.DrillCounterTurns: "field.counters-turns-per-acre"},
	thing.Box:    {thing.BoxDrill: "field.drill", thing.BoxName: "field.name", thing.BoxMeter: "field.meter", thing.BoxDialFrom: "field.dials-first-mark", thing.BoxDialTo: "field.dials-last-mark", thing.BoxCapacity: "field.capacity", thing.BoxSides: "field.sides", thing.BoxRowsFed: "field.rows-fed", thing.BoxOwnDials: "field.dials"},
	thing.Lot:    {thing.LotName: "field.name", thing.LotSpecies: "field.species", thing.LotVariety: "field.variety", thing.LotTested: "field.test-date", thing.LotBag: "field.bag", thing.LotPrice: "field.price", thing.LotInoculant: "field.inoculant", thing.LotEndophyte: "field.endophyte", thing.LotSeedsPerKg: "field.seed-count", thing.LotBagPrinted: "field.bag-as-written"},
}
