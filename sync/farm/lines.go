package farm

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// wordSt puts entries and figures into words.
type wordSt struct{ viewSt }

// Lines is the audit: every entry that took its place, in the total order.
func (s *wordSt) Lines() []Line {
	rs := slices.Clone(s.order)
	slices.SortFunc(rs, (*rec).compare)
	out := make([]Line, len(rs))
	for i, r := range rs {
		out[i] = s.line(r)
	}
	return out
}

// Line is one entry as the audit shows it.
func (s *wordSt) Line(id entry.ID) (Line, bool) {
	r := s.find(id)
	if r == nil {
		return Line{}, false
	}
	return s.line(r), true
}

var leftOutText = [...]string{
	noRight: "its writer has no right to it", afterStop: "its device was stopped before it",
	notJoined: "its device is not let in", notKnown: "written by a newer version, or not readable",
	hasNoForce: "what it asks may not be done, or is of nothing that is here",
}

func (s *wordSt) line(r *rec) Line {
	l := Line{
		ID: r.id(), Wall: r.wall, Clock: r.time.Millis(), Person: personID(r), By: s.personName(r),
		Device: deviceName(r.dev), On: onWhose(r), Kind: r.body.Kind(), What: s.what(r.body),
		About: about(r.body), Body: r.body, Now: r.eff,
	}
	if r.left != counts {
		l.LeftOut = leftOutText[r.left]
	}
	if r.left == noRight {
		l.Needs = s.needed(r)
	}
	if sig, ok := r.body.(*entry.ItemSigned); ok && r.left != counts {
		l.What = "NOT SIGNED: " + s.item(sig)
	}
	if begun, ok := r.body.(*entry.HitchBegun); ok && r.left != counts {
		l.What = s.join("NOT BEGUN: hitch of "+s.name(begun.Drill), begun.Tractor)
	}
	if r.edits != nil && r.left == counts {
		l.Struck = r.eff == nil
		l.Amended = r.eff != nil && r.eff != r.body
	}
	if sig, ok := r.eff.(*entry.ItemSigned); ok {
		l.Void, l.Ended = s.signatureStands(r, sig)
	}
	return l
}

func (s *crewSt) personName(r *rec) string {
	if r.by == nil {
		return "someone"
	}
	return s.name(*r.by)
}

func deviceName(d *device) string {
	if d.name != "" {
		return d.name
	}
	id := d.id.String()
	return id[len(id)-6:]
}

func (s *crewSt) name(id entry.ID) string {
	if t, ok := s.things[s.canon(id)]; ok {
		if n := t.text(nameField(t.kind)); n != "" {
			return n
		}
	}
	if id.IsZero() {
		return ""
	}
	return id.Short()
}

// aboutText names the things that entries are about, each once. A thing is
// named whether its entry counts or not, and whatever else spoke of it here:
// that may depend on what came first.
func (s *wordSt) aboutText(ids []entry.ID) string {
	var names []string
	asked := map[entry.ID]bool{}
	var ask func([]entry.ID)
	ask = func(ids []entry.ID) {
		for _, id := range ids {
			r := s.find(id)
			if r == nil || asked[id] {
				continue
			}
			asked[id] = true
			if k, ok := makes(r.body); ok {
				names = append(names, k.String()+" "+s.name(id))
			} else {
				ask(about(r.body))
			}
		}
	}
	ask(ids)
	slices.Sort(names)
	return strings.Join(slices.Compact(names), ", ")
}

// system is the units that the farm shows.
func (s *crewSt) system() units.System {
	if b, ok := s.Founding(); ok && b.Metric {
		return units.Metric
	}
	return units.US
}

// decimal writes thousandths as people write them.
func decimal(thousandths int64) string {
	text := fmt.Sprintf("%d.%03d", thousandths/1000, thousandths%1000)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

func (s *wordSt) whatAdmitted(b *entry.Admitted) string {
	name := s.deviceName(b.Device)
	switch {
	case b.Refused:
		return "refused device " + name
	case b.Porter:
		return "made " + name + " the porter, who lets in whoever has an invite"
	}
	return "let in " + s.name(b.Person) + " as " + b.Role.String() + ", on " + name
}

// deviceName is a device's name, whether it is here or not.
func (s *crewSt) deviceName(id entry.DeviceID) string {
	if d := s.known(id); d != nil {
		return deviceName(d)
	}
	return deviceName(&device{id: id})
}

func (s *wordSt) components(b *entry.PlanSet) string {
	var parts []string
	for _, c := range b.Components {
		switch {
		case c.Removed:
			parts = append(parts, s.name(c.Lot)+" not in "+s.name(c.Box))
		case c.Seeds > 0:
			parts = append(parts, s.name(c.Lot)+" in "+s.name(c.Box)+" at "+c.Seeds.Format(s.system()))
		default:
			parts = append(parts, s.name(c.Lot)+" in "+s.name(c.Box)+" at "+c.Live.Written(s.system())+" live")
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return ": " + strings.Join(parts, ", ")
}

func (s *wordSt) setName(n entry.Opt[string], id entry.ID) string {
	if n.Set {
		return n.Val
	}
	return s.name(id)
}

func (s *wordSt) join(what, note string) string {
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
	return ", counter at " + decimal(int64(o.Val))
}

func (s *wordSt) boxSide(b entry.ID, side int64) string {
	name := "box " + s.name(b)
	if side == 0 {
		return name
	}
	if t, ok := s.things[b]; ok {
		if names, _ := sidesOf(t); side <= int64(len(names)) {
			return name + ", " + names[side-1]
		}
	}
	return name + ", side " + strconv.FormatInt(side, 10)
}

func (s *wordSt) amount(b *entry.Filled) string {
	if b.Mass > 0 {
		return b.Mass.As(b.MassIn, s.system())
	}
	return bagsText(b.Bags)
}

func levelText(b *entry.LevelRead, system units.System) string {
	if b.Share.Set {
		return decimal(int64(b.Share.Val)) + " % of full"
	}
	return b.Mass.Val.As(b.MassIn, system)
}

func bagsText(n units.Count) string { return units.Counted(decimal(int64(n)), "bag") }

func (s *wordSt) drained(b *entry.Drained) string {
	what := "drained "
	if b.All {
		what = "emptied "
	}
	what += s.boxSide(b.Box, b.Side)
	if b.Mass > 0 {
		what += " of " + b.Mass.As(b.MassIn, s.system())
	}
	return what
}

func (s *wordSt) moved(b *entry.DialMoved) string {
	what := "dial of " + s.boxSide(b.Box, b.Side)
	if b.From.Set && b.From.Val != b.To {
		what += " from " + s.dialText(b.Box, b.Side, b.From.Val)
	}
	what += " to " + s.dialText(b.Box, b.Side, b.To)
	if b.Aim > 0 {
		what += ", aiming at " + b.Aim.Written(s.system())
	}
	return what
}

// printed is a chart's rate as it is printed, with what that comes to.
func (s *wordSt) printed(b *entry.ChartPointSet) string {
	if b.Rate == 0 {
		return "nothing that is printed"
	}
	if b.Printed != "" {
		return b.Printed + " (" + b.Rate.Written(s.system()) + ")"
	}
	return b.Rate.Written(s.system())
}

func (s *wordSt) caught(b *entry.Caught) string {
	var masses []string
	for _, m := range b.Masses {
		masses = append(masses, m.As(b.MassIn, units.Metric))
	}
	if len(b.RowMasses) > 0 {
		masses = []string{caughtInAll(b).As(b.MassIn, units.Metric)}
	}
	over := units.Counted(decimal(int64(b.Turns)), "turn")
	if b.Distance > 0 {
		over = b.Distance.As(b.DistanceIn, s.system())
	}
	width := units.Counted(strconv.FormatInt(b.Rows, 10), "row")
	if b.Width > 0 {
		width = b.Width.As(b.WidthIn, s.system()) + " wide"
	}
	return fmt.Sprintf("caught %s of %s from %s at dial %s, %s, %s",
		strings.Join(masses, ", "), s.name(b.Lot), s.boxSide(b.Box, b.Side), s.dialText(b.Box, b.Side, b.Dial), width, over)
}

func (s *wordSt) measure(v units.Volume, in units.In, heaped bool) string {
	if heaped {
		return v.As(in, s.system()) + ", heaped,"
	}
	return v.As(in, s.system())
}

func (s *wordSt) finished(b *entry.GroundFinished) string {
	what := s.name(b.Ground) + " is finished"
	if !b.Finished {
		what = s.name(b.Ground) + " is not finished after all"
	}
	if b.Reading.Set {
		what += ", counter at " + decimal(int64(b.Reading.Val))
	}
	if b.Correction.Set {
		what += ", counter taken at " + decimal(b.Correction.Val) + " times what it shows"
	}
	return what
}

func (s *wordSt) read(b *entry.MeterRead) string {
	what := "counter at " + decimal(int64(b.Reading))
	if !b.Ground.IsZero() {
		what += ", on " + s.name(b.Ground)
	}
	return what
}

func (s *wordSt) item(b *entry.ItemSigned) string {
	if h := s.find(b.Hitch); h != nil {
		if begun, ok := h.body.(*entry.HitchBegun); ok {
			if list := s.checklist(begun.Checks); list != nil && b.Item <= int64(len(list.Items)) {
				return list.Items[b.Item-1].Name
			}
		}
	}
	return "check " + strconv.FormatInt(b.Item, 10)
}

func (s *wordSt) stands(b *entry.Settled) string {
	if b.Dial.Set {
		of, side := entry.ID{}, int64(0)
		if len(b.Entries) > 0 {
			of, side = s.dialOfEntry(b.Entries[0])
		}
		return "the dial reads " + s.dialText(of, side, b.Dial.Val)
	}
	if b.Choice == entry.BeganAt && b.Value.Set {
		return "the counter stood at " + decimal(b.Value.Val) + " when work began"
	}
	if b.Choice != "" {
		return strings.ReplaceAll(b.Choice, "-", " ")
	}
	var parts []string
	for _, id := range b.Stands {
		if r := s.find(id); r != nil {
			parts = append(parts, s.what(r.body))
		}
	}
	if len(parts) == 0 {
		return "seen"
	}
	return strings.Join(parts, "; ") + " stands"
}

// fieldText names a field of a thing, for people.
func (s *wordSt) fieldText(t *thing, f field) string {
	of := t.kind.String() + " " + s.name(t.id)
	switch {
	case f.num == fieldDial:
		return "dial of " + s.boxSide(t.id, f.n)
	case f.num == fieldChart:
		return "chart of " + of + ", " + f.s + " at " + s.dialText(t.id, 0, units.Dial(f.n))
	case f.num == fieldMarks:
		return "marks on the dial of " + s.boxSide(t.id, f.n)
	case f.num == planComponent:
		return "plan of " + of + ": " + s.name(f.x) + " in " + s.name(f.y)
	case f.num == fieldCorrection:
		return "correction of the counter of " + of
	case f.num == fieldFinished:
		return "whether " + s.name(t.id) + " is finished"
	case f.num == planDepth:
		return "depth on " + of
	case f.num == planNurse:
		return "nurse crop on " + of
	case f.num >= labelLine && f.num <= labelCounted:
		what := labelNames[f.num-labelLine]
		if f.s != "" {
			what += " of " + lineName(f.s)
		}
		return what + ", " + of
	}
	if names := fieldNames[t.kind]; f.num < len(names) && names[f.num] != "" {
		return names[f.num] + " of " + of
	}
	return of
}

var fieldNames = map[thingKind][]string{
	person: {memberName: "name", memberRole: "role", memberStop: "place"},
	ground: {groundName: "name", groundArea: "area", groundSlope: "slope", groundState: "state", groundNotes: "notes", groundSpray: "spray", groundRings: "boundary"},
	drill:  {drillName: "name", drillRows: "rows", drillSpacing: "row spacing", drillWidth: "width", drillRoll: "wheel roll", drillWheelTurns: "wheel turns per acre", drillCounter: "counter", drillCounterTurns: "counter's turns per acre"},
	box:    {boxDrill: "drill", boxName: "name", boxMeter: "meter", boxDialFrom: "dial's first mark", boxDialTo: "dial's last mark", boxCapacity: "capacity", boxSides: "sides", boxRowsFed: "rows fed", boxOwnDials: "dials"},
	lot:    {lotName: "name", lotSpecies: "species", lotVariety: "variety", lotTested: "test date", lotBag: "bag", lotPrice: "price", lotInoculant: "inoculant", lotEndophyte: "endophyte", lotSeedsPerKg: "seed count", lotBagPrinted: "bag as written"},
}
