package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/units"
)

// Words puts entries and figures into words.
type Words struct{ view.Views }

// Lines is the audit: every entry that took its place, in the total order.
func (s *Words) Lines() []view.Line {
	rs := slices.Clone(s.InPlace)
	slices.SortFunc(rs, (*order.Rec).Compare)
	out := make([]view.Line, len(rs))
	for i, r := range rs {
		out[i] = s.line(r)
	}
	return out
}

// Line is one entry as the audit shows it.
func (s *Words) Line(id entry.ID) (view.Line, bool) {
	r := s.Find(id)
	if r == nil {
		return view.Line{}, false
	}
	return s.line(r), true
}

var leftOutText = [...]string{
	order.NoRight: "its writer has no right to it", order.AfterStop: "its device was stopped before it",
	order.NotJoined: "its device is not let in", order.NotKnown: "written by a newer version, or not readable",
	order.HasNoForce: "what it asks may not be done, or is of nothing that is here",
}

func (s *Words) line(r *order.Rec) view.Line {
	l := view.Line{
		ID: r.ID(), Wall: r.Wall, Clock: r.Time.Millis(), Person: order.PersonID(r), By: s.PersonName(r),
		Device: crew.DeviceName(r.Log), On: crew.OnWhose(r), Kind: r.Body.Kind(), What: s.What(r.Body),
		About: rule.About(r.Body), Body: r.Body, Now: r.Eff,
	}
	if r.Left != order.Counts {
		l.LeftOut = leftOutText[r.Left]
	}
	if r.Left == order.NoRight {
		l.Needs = s.Needed(r)
	}
	if sig, ok := r.Body.(*entry.ItemSigned); ok && r.Left != order.Counts {
		l.What = "NOT SIGNED: " + s.item(sig)
	}
	if begun, ok := r.Body.(*entry.HitchBegun); ok && r.Left != order.Counts {
		l.What = s.join("NOT BEGUN: hitch of "+s.Name(begun.Drill), begun.Tractor)
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
func (s *Words) AboutText(ids []entry.ID) string {
	var names []string
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
				names = append(names, k.String()+" "+s.Name(id))
			} else {
				ask(rule.About(r.Body))
			}
		}
	}
	ask(ids)
	slices.Sort(names)
	return strings.Join(slices.Compact(names), ", ")
}

func (s *Words) whatAdmitted(b *entry.Admitted) string {
	name := s.DeviceName(b.Device)
	switch {
	case b.Refused:
		return "refused device " + name
	case b.Porter:
		return "made " + name + " the porter, who lets in whoever has an invite"
	}
	return "let in " + s.Name(b.Person) + " as " + b.Role.String() + ", on " + name
}

func (s *Words) components(b *entry.PlanSet) string {
	var parts []string
	for _, c := range b.Components {
		switch {
		case c.Removed:
			parts = append(parts, s.Name(c.Lot)+" not in "+s.Name(c.Box))
		case c.Seeds > 0:
			parts = append(parts, s.Name(c.Lot)+" in "+s.Name(c.Box)+" at "+c.Seeds.Format(s.System()))
		default:
			parts = append(parts, s.Name(c.Lot)+" in "+s.Name(c.Box)+" at "+c.Live.Written(s.System())+" live")
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return ": " + strings.Join(parts, ", ")
}

// latest is what an entry stands for now; what it said, where it does not count or
// is struck, and nil where it is not here.
func (s *Words) latest(id entry.ID) entry.Body {
	switch r := s.Find(id); {
	case r == nil:
		return nil
	case r.Eff != nil:
		return r.Eff
	default:
		return r.Body
	}
}

func (s *Words) setName(n entry.Opt[string], id entry.ID) string {
	if n.Set {
		return n.Val
	}
	return s.Name(id)
}

func (s *Words) join(what, note string) string {
	if note == "" {
		return what
	}
	return what + " (" + note + ")"
}

// counterAt is what the counter showed when something was done, where its writer
// said so.
func counterAt(o entry.Opt[units.Reading]) string {
	if !o.Set {
		return ""
	}
	return ", counter at " + thing.Decimal(int64(o.Val))
}

// BoxSide is a box in words, and which side of it.
func (s *Words) BoxSide(b entry.ID, side int64) string {
	name := "box " + s.Name(b)
	if side == 0 {
		return name
	}
	if t, ok := s.ByID[b]; ok {
		if names, _ := work.SidesOf(t); side <= int64(len(names)) {
			return name + ", " + names[side-1]
		}
	}
	return name + ", side " + strconv.FormatInt(side, 10)
}

// Amount is how much a fill poured, in the unit that it was written in.
func (s *Words) Amount(b *entry.Filled) string {
	if b.Mass > 0 {
		return b.Mass.As(b.MassIn, s.System())
	}
	return BagsText(b.Bags)
}

// LevelText is a level as it was written: a mass, or a share of full.
func LevelText(b *entry.LevelRead, system units.System) string {
	if b.Share.Set {
		return thing.Decimal(int64(b.Share.Val)) + " % of full"
	}
	return b.Mass.Val.As(b.MassIn, system)
}

// BagsText is a number of bags in words.
func BagsText(n units.Count) string { return units.Counted(thing.Decimal(int64(n)), "bag") }

func (s *Words) drained(b *entry.Drained) string {
	what := "drained "
	if b.All {
		what = "emptied "
	}
	what += s.BoxSide(b.Box, b.Side)
	if b.Mass > 0 {
		what += " of " + b.Mass.As(b.MassIn, s.System())
	}
	return what
}

func (s *Words) moved(b *entry.DialMoved) string {
	what := "dial of " + s.BoxSide(b.Box, b.Side)
	if b.From.Set && b.From.Val != b.To {
		what += " from " + s.DialText(b.Box, b.Side, b.From.Val)
	}
	what += " to " + s.DialText(b.Box, b.Side, b.To)
	if b.Aim > 0 {
		what += ", aiming at " + b.Aim.Written(s.System())
	}
	return what
}

// printed is a chart's rate as it is printed, with what that comes to.
func (s *Words) printed(b *entry.ChartPointSet) string {
	if b.Rate == 0 {
		return "nothing that is printed"
	}
	if b.Printed != "" {
		return b.Printed + " (" + b.Rate.Written(s.System()) + ")"
	}
	return b.Rate.Written(s.System())
}

func (s *Words) caught(b *entry.Caught) string {
	var masses []string
	for _, m := range b.Masses {
		masses = append(masses, m.As(b.MassIn, units.Metric))
	}
	if len(b.RowMasses) > 0 {
		masses = []string{work.CaughtInAll(b).As(b.MassIn, units.Metric)}
	}
	over := units.Counted(thing.Decimal(int64(b.Turns)), "turn")
	if b.Distance > 0 {
		over = b.Distance.As(b.DistanceIn, s.System())
	}
	width := units.Counted(strconv.FormatInt(b.Rows, 10), "row")
	if b.Width > 0 {
		width = b.Width.As(b.WidthIn, s.System()) + " wide"
	}
	return fmt.Sprintf("caught %s of %s from %s at dial %s, %s, %s",
		strings.Join(masses, ", "), s.Name(b.Lot), s.BoxSide(b.Box, b.Side), s.DialText(b.Box, b.Side, b.Dial), width, over)
}

// Measure is a volume in words, as it was written.
func (s *Words) Measure(v units.Volume, in units.In, heaped bool) string {
	if heaped {
		return v.As(in, s.System()) + ", heaped,"
	}
	return v.As(in, s.System())
}

func (s *Words) finished(b *entry.GroundFinished) string {
	what := s.Name(b.Ground) + " is finished"
	if !b.Finished {
		what = s.Name(b.Ground) + " is not finished after all"
	}
	if b.Reading.Set {
		what += ", counter at " + thing.Decimal(int64(b.Reading.Val))
	}
	if b.Correction.Set {
		what += ", counter taken at " + thing.Decimal(b.Correction.Val) + " times what it shows"
	}
	return what
}

func (s *Words) read(b *entry.MeterRead) string {
	what := "counter at " + thing.Decimal(int64(b.Reading))
	if !b.Ground.IsZero() {
		what += ", on " + s.Name(b.Ground)
	}
	return what
}

func (s *Words) item(b *entry.ItemSigned) string {
	if h := s.Find(b.Hitch); h != nil {
		if begun, ok := h.Body.(*entry.HitchBegun); ok {
			if list := s.Checklist(begun.Checks); list != nil && b.Item <= int64(len(list.Items)) {
				return list.Items[b.Item-1].Name
			}
		}
	}
	return "check " + strconv.FormatInt(b.Item, 10)
}

func (s *Words) stands(b *entry.Settled) string {
	if b.Dial.Set {
		of, side := entry.ID{}, int64(0)
		if len(b.Entries) > 0 {
			of, side = s.DialOfEntry(b.Entries[0])
		}
		return "the dial reads " + s.DialText(of, side, b.Dial.Val)
	}
	if b.Choice == entry.BeganAt && b.Value.Set {
		return "the counter stood at " + thing.Decimal(b.Value.Val) + " when work began"
	}
	if b.Choice != "" {
		return strings.ReplaceAll(b.Choice, "-", " ")
	}
	var parts []string
	for _, id := range b.Stands {
		if r := s.Find(id); r != nil {
			parts = append(parts, s.What(r.Body))
		}
	}
	if len(parts) == 0 {
		return "seen"
	}
	return strings.Join(parts, "; ") + " stands"
}

// FieldText names a field of a thing, for people.
func (s *Words) FieldText(t *thing.Thing, f thing.Field) string {
	of := t.Kind.String() + " " + s.Name(t.ID)
	switch {
	case f.Num == thing.FieldDial:
		return "dial of " + s.BoxSide(t.ID, f.N)
	case f.Num == thing.FieldChart:
		return "chart of " + of + ", " + f.S + " at " + s.DialText(t.ID, 0, units.Dial(f.N))
	case f.Num == thing.FieldMarks:
		return "marks on the dial of " + s.BoxSide(t.ID, f.N)
	case f.Num == thing.PlanComponent:
		return "plan of " + of + ": " + s.Name(f.X) + " in " + s.Name(f.Y)
	case f.Num == thing.FieldCorrection:
		return "correction of the counter of " + of
	case f.Num == thing.FieldFinished:
		return "whether " + s.Name(t.ID) + " is finished"
	case f.Num == thing.PlanDepth:
		return "depth on " + of
	case f.Num == thing.PlanNurse:
		return "nurse crop on " + of
	case f.Num >= thing.LabelLine && f.Num <= thing.LabelCounted:
		what := view.LabelNames[f.Num-thing.LabelLine]
		if f.S != "" {
			what += " of " + view.LineName(f.S)
		}
		return what + ", " + of
	}
	if names := fieldNames[t.Kind]; f.Num < len(names) && names[f.Num] != "" {
		return names[f.Num] + " of " + of
	}
	return of
}

var fieldNames = map[thing.ThingKind][]string{
	thing.Person: {thing.MemberName: "name", thing.MemberRole: "role", thing.MemberStop: "place"},
	thing.Ground: {thing.GroundName: "name", thing.GroundArea: "area", thing.GroundSlope: "slope", thing.GroundState: "state", thing.GroundNotes: "notes", thing.GroundSpray: "spray", thing.GroundRings: "boundary"},
	thing.Drill:  {thing.DrillName: "name", thing.DrillRows: "rows", thing.DrillSpacing: "row spacing", thing.DrillWidth: "width", thing.DrillRoll: "wheel roll", thing.DrillWheelTurns: "wheel turns per acre", thing.DrillCounter: "counter", thing.DrillCounterTurns: "counter's turns per acre"},
	thing.Box:    {thing.BoxDrill: "drill", thing.BoxName: "name", thing.BoxMeter: "meter", thing.BoxDialFrom: "dial's first mark", thing.BoxDialTo: "dial's last mark", thing.BoxCapacity: "capacity", thing.BoxSides: "sides", thing.BoxRowsFed: "rows fed", thing.BoxOwnDials: "dials"},
	thing.Lot:    {thing.LotName: "name", thing.LotSpecies: "species", thing.LotVariety: "variety", thing.LotTested: "test date", thing.LotBag: "bag", thing.LotPrice: "price", thing.LotInoculant: "inoculant", thing.LotEndophyte: "endophyte", thing.LotSeedsPerKg: "seed count", thing.LotBagPrinted: "bag as written"},
}
