package entry

import "fmt"

// ChecksSet is a list of checks for hitching a drill, in one version. A hitch
// is begun on one list and is never judged by another.
type ChecksSet struct {
	Version int64
	Items   []CheckItem
}

// CheckItem is one check of a list.
type CheckItem struct {
	Name     string
	Required bool
}

// HitchBegun starts a hitch of a drill on a list of checks. It ends any hitch
// of that drill which it knew.
type HitchBegun struct {
	Checks  ID
	Drill   ID
	Tractor string
}

// ItemSigned signs one check of a hitch: the person saw to it.
type ItemSigned struct {
	Hitch ID
	Item  int64 // number in the list, from 1
}

// HoldRaised says stop. Nobody works the drill until it is released by someone
// who knew it. Anyone may raise one.
type HoldRaised struct {
	Drill ID
	Why   string
}

// HoldReleased releases holds on a drill that its writer knew.
type HoldReleased struct {
	Drill ID
	Holds []ID
	Why   string
}

// HoldSeen says that a person has seen holds. It releases none, and nothing is
// ready or not by it: whoever raised one reads who knows of it.
type HoldSeen struct {
	Holds []ID
}

// DrillState is how a drill stands: made up for the road, or for the field.
type DrillState uint8

// The states of a drill.
const (
	Transport DrillState = 1
	InField   DrillState = 2
)

// DrillMoved changes a drill between transport and field.
type DrillMoved struct {
	Drill ID
	State DrillState
	Note  string
}

// Unhitched ends a hitch: it voids every signature that it knew, and every one
// written apart from it.
type Unhitched struct {
	Drill ID
	Why   string
}

// Kind of the body.
func (*ChecksSet) Kind() Kind { return KindChecksSet }

// Fields of the body.
func (b *ChecksSet) Fields(f Fields) {
	f.Int(1, &b.Version)
	f.Group(2, len(b.Items), func() { b.Items = append(b.Items, CheckItem{}) }, func(i int, f Fields) {
		f.Text(1, &b.Items[i].Name)
		flag(f, 2, &b.Items[i].Required)
	})
}

// Check the body's ranges.
func (b *ChecksSet) Check() error {
	for i, it := range b.Items {
		if err := named(fmt.Sprintf("check %d's name", i+1), it.Name, MaxName); err != nil {
			return err
		}
	}
	return first(between("version", b.Version, 0, 1<<40), between("checks", len(b.Items), 1, MaxList))
}

// Kind of the body.
func (*HitchBegun) Kind() Kind { return KindHitchBegun }

// Fields of the body.
func (b *HitchBegun) Fields(f Fields) {
	f.Ref(1, &b.Checks)
	f.Ref(2, &b.Drill)
	f.Text(3, &b.Tractor)
}

// Check the body's ranges.
func (b *HitchBegun) Check() error {
	return first(given("list of checks", b.Checks), given("drill", b.Drill), text("tractor", b.Tractor, MaxName))
}

// Kind of the body.
func (*ItemSigned) Kind() Kind { return KindItemSigned }

// Fields of the body.
func (b *ItemSigned) Fields(f Fields) {
	f.Ref(1, &b.Hitch)
	f.Int(2, &b.Item)
}

// Check the body's ranges.
func (b *ItemSigned) Check() error {
	return first(given("hitch", b.Hitch), between("check", b.Item, 1, MaxList))
}

// Kind of the body.
func (*HoldRaised) Kind() Kind { return KindHoldRaised }

// Fields of the body.
func (b *HoldRaised) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Text(2, &b.Why)
}

// Check the body's ranges. A hold with nothing but its existence is a hold.
func (b *HoldRaised) Check() error { return text("why", b.Why, MaxText) }

// Kind of the body.
func (*HoldReleased) Kind() Kind { return KindHoldReleased }

// Fields of the body.
func (b *HoldReleased) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Refs(2, &b.Holds)
	f.Text(3, &b.Why)
}

// Check the body's ranges.
func (b *HoldReleased) Check() error {
	return first(given("drill", b.Drill), named("why", b.Why, MaxText), between("holds", len(b.Holds), 1, MaxList))
}

// Kind of the body.
func (*HoldSeen) Kind() Kind { return KindHoldSeen }

// Fields of the body.
func (b *HoldSeen) Fields(f Fields) { f.Refs(1, &b.Holds) }

// Check the body's ranges.
func (b *HoldSeen) Check() error { return between("holds", len(b.Holds), 1, MaxList) }

// Kind of the body.
func (*DrillMoved) Kind() Kind { return KindDrillMoved }

// Fields of the body.
func (b *DrillMoved) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	number(f, 2, &b.State)
	f.Text(3, &b.Note)
}

// Check the body's ranges.
func (b *DrillMoved) Check() error {
	return first(given("drill", b.Drill), between("state", b.State, Transport, InField), text("note", b.Note, MaxText))
}

// Kind of the body.
func (*Unhitched) Kind() Kind { return KindUnhitched }

// Fields of the body.
func (b *Unhitched) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.Text(2, &b.Why)
}

// Check the body's ranges.
func (b *Unhitched) Check() error {
	return first(given("drill", b.Drill), text("why", b.Why, MaxText))
}
