package fields

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turnrow/client/nearest"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Unknown is the error for a text that nothing goes by.
type Unknown struct {
	What string // kind of thing, such as "box"
	Text string
	Hint string // the nearest names, or what there is
}

func (u *Unknown) Error() string {
	return "unknown " + u.What + " \"" + u.Text + "\"; " + u.Hint
}

// NoSuch is the error for a text that none of the known names is. What is the
// kind of thing, and its plural for the hint.
func NoSuch(what, plural, text string, known []string) error {
	return &Unknown{what, text, nearest.Hint(text, plural, known)}
}

// Unclear is the error for a text that means several things, or for none where
// one of several has to be named.
type Unclear struct {
	What string // kind of thing, such as "box"
	Text string
	May  []string // what may be meant, as far as that can be said
}

func (u *Unclear) Error() string {
	if len(u.May) == 0 {
		return fmt.Sprintf("%s %q: there is more than one", u.What, u.Text)
	}
	return fmt.Sprintf("%s %q may be %s", u.What, u.Text, strings.Join(u.May, " or "))
}

// NotSet is the error where no thing of a kind is set yet.
type NotSet struct{ What string }

func (n *NotSet) Error() string { return "no " + n.What + " is set yet" }

// NoEntry is the error for a text that is no reference to an entry.
type NoEntry struct{ Text string }

func (n *NoEntry) Error() string {
	return fmt.Sprintf("%q is no note: write it as the log shows it, such as 4f2a1c/12", n.Text)
}

// Named finds what goes by a name: as it is written, or in any letter case
// where that leaves only one. Else the error is an *Unknown.
func Named[T any](what, plural, name string, list []T, called func(*T) string) (found T, err error) {
	var like []int
	var known []string
	for i := range list {
		n := called(&list[i])
		if n == name {
			return list[i], nil
		}
		if strings.EqualFold(n, name) {
			like = append(like, i)
		}
		known = append(known, n)
	}
	if len(like) == 1 {
		return list[like[0]], nil
	}
	return found, NoSuch(what, plural, name, known)
}

// Finder finds things of a farm by what the crew calls them, or by their IDs in
// full.
type Finder struct {
	View  *farm.View
	Drill string // the drill that is meant; empty for any
}

// byID finds a thing whose ID is written in full.
func byID[T any](text string, of func(entry.ID) (T, bool)) (found T, ok bool) {
	id, err := entry.ParseID(text)
	if err != nil {
		return found, false
	}
	return of(id)
}

// Lot finds a lot of seed. The error is an *Unknown.
func (f Finder) Lot(text string) (farm.Lot, error) {
	if l, ok := byID(text, f.View.LotOf); ok {
		return l, nil
	}
	return Named("lot", "lots", text, f.View.Lots, func(l *farm.Lot) string { return l.Name })
}

// Ground finds a piece of ground. The error is an *Unknown.
func (f Finder) Ground(text string) (farm.Ground, error) {
	if g, ok := byID(text, f.View.GroundOf); ok {
		return g, nil
	}
	return Named("ground", "pieces of ground", text, f.View.Grounds, func(g *farm.Ground) string { return g.Name })
}

// Boxes are the boxes of the drill that is meant, or of all.
func (f Finder) Boxes() ([]farm.Box, error) {
	if f.Drill == "" {
		return f.View.Boxes, nil
	}
	d, err := f.TheDrill()
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(slices.Clone(f.View.Boxes), func(b farm.Box) bool { return b.Drill != d.ID }), nil
}

// Box finds a box of the drill that is meant, or of any. The error is an
// *Unknown, or an *Unclear where several drills have one of that name.
func (f Finder) Box(text string) (farm.Box, error) {
	if b, ok := byID(text, f.View.BoxOf); ok {
		return b, nil
	}
	boxes, err := f.Boxes()
	if err != nil {
		return farm.Box{}, err
	}
	b, err := Named("box", "boxes", text, boxes, func(b *farm.Box) string { return b.Name })
	for _, other := range boxes {
		if err == nil && other.Name == b.Name && other.Drill != b.Drill {
			return b, &Unclear{What: "box", Text: text}
		}
	}
	return b, err
}

// Side finds a compartment of a box by its name or its number, from 1; 0 is all
// of the box, for an empty text or "all". The error is an *Unknown or, for a
// box of one compartment, a *OneSide.
func (f Finder) Side(b farm.Box, text string) (int64, error) {
	if text == "" || text == "all" {
		return 0, nil
	}
	for i, name := range b.Sides {
		if strings.EqualFold(name, text) || text == strconv.Itoa(i+1) {
			return int64(i + 1), nil
		}
	}
	if len(b.Sides) == 0 {
		return 0, &OneSide{b.Name}
	}
	return 0, NoSuch("side", "sides", text, b.Sides)
}

// OneSide is the error for a side of a box that has one compartment.
type OneSide struct{ Box string }

func (o *OneSide) Error() string { return "box " + o.Box + " has one compartment" }

// DrillNamed finds a drill. The error is an *Unknown.
func (f Finder) DrillNamed(text string) (farm.Drill, error) {
	if d, ok := byID(text, f.View.DrillOf); ok {
		return d, nil
	}
	return Named("drill", "drills", text, f.View.Drills, func(d *farm.Drill) string { return d.Name })
}

// TheDrill is the drill that is meant, or the farm's only one. The error is an
// *Unknown; a *NotSet where there is none; an *Unclear where there are several.
func (f Finder) TheDrill() (farm.Drill, error) {
	switch drills := f.View.Drills; {
	case f.Drill != "":
		return f.DrillNamed(f.Drill)
	case len(drills) == 1:
		return drills[0], nil
	case len(drills) == 0:
		return farm.Drill{}, &NotSet{"drill"}
	default:
		u := &Unclear{What: "drill"}
		for _, d := range drills {
			u.May = append(u.May, d.Name)
		}
		return farm.Drill{}, u
	}
}

// Person finds somebody on the crew who was not stopped. The error is an
// *Unknown.
func (f Finder) Person(text string) (farm.Member, error) {
	if m, ok := f.View.MemberNamed(text); ok {
		return m, nil
	}
	var known []string
	for _, m := range f.View.Crew {
		if !m.Stopped {
			known = append(known, m.Name)
		}
	}
	return farm.Member{}, NoSuch("person", "people", text, known)
}

// Device finds a device by its name or its UUID. The error is an *Unknown, or
// an *Unclear where several go by that name.
func (f Finder) Device(text string) (farm.Device, error) {
	if id, err := entry.ParseDevice(text); err == nil {
		for _, d := range f.View.Devices {
			if d.ID == id {
				return d, nil
			}
		}
	}
	found, err := Named("device", "devices", text, f.View.Devices, func(d *farm.Device) string { return d.Name })
	for _, d := range f.View.Devices {
		if err == nil && d.Name == found.Name && d.ID != found.ID {
			return found, &Unclear{What: "device", Text: d.Name}
		}
	}
	return found, err
}

// Entry reads a reference to an entry: DEVICE/NUMBER in full, or with as much
// of the end, or of the beginning, of the device's UUID as tells it apart. The
// error is a *NoEntry, an *Unknown or an *Unclear. Whether the entry is here is
// for the caller to look at.
func (f Finder) Entry(text string) (entry.ID, error) {
	if id, err := entry.ParseID(text); err == nil {
		return id, nil
	}
	part, num, ok := strings.Cut(text, "/")
	seq, err := strconv.ParseUint(num, 10, 64)
	if !ok || err != nil || seq == 0 || part == "" {
		return entry.ID{}, &NoEntry{text}
	}
	var found []entry.ID
	for _, d := range f.View.Devices {
		if s := d.ID.String(); strings.HasSuffix(s, strings.ToLower(part)) || strings.HasPrefix(s, strings.ToLower(part)) {
			found = append(found, entry.ID{Log: d.ID.Log(), Seq: seq})
		}
	}
	switch len(found) {
	case 0:
		return entry.ID{}, &Unknown{What: "entry", Text: part, Hint: "no device's number begins or ends so"}
	case 1:
		return found[0], nil
	}
	return entry.ID{}, &Unclear{What: "entry", Text: text, May: []string{found[0].String(), found[1].String()}}
}

// Thing finds what a text such as box:grain names, or an entry.
func (f Finder) Thing(text string) (entry.ID, error) {
	kind, name, ok := strings.Cut(text, ":")
	if !ok {
		return f.Entry(text)
	}
	switch kind {
	case "box":
		b, err := f.Box(name)
		return b.ID, err
	case "ground":
		g, err := f.Ground(name)
		return g.ID, err
	case "lot":
		l, err := f.Lot(name)
		return l.ID, err
	case "drill":
		d, err := f.DrillNamed(name)
		return d.ID, err
	case "person":
		m, err := f.Person(name)
		return m.ID, err
	}
	return entry.ID{}, NoSuch("kind", "kinds", kind, []string{"box", "ground", "lot", "drill", "person"})
}

// Doubt finds a doubt by its ID, or by as much of its beginning as tells it
// apart, or by its kind where only one of that kind is open. The error is an
// *Unknown or an *Unclear.
func (f Finder) Doubt(text string) (words.Doubt, error) {
	var found []words.Doubt
	var known, may []string
	for d := range words.Doubts(f.View) {
		known = append(known, d.ID())
		if strings.HasPrefix(d.ID(), strings.ToLower(text)) && text != "" || string(d.Kind) == text && !d.Settled {
			found, may = append(found, d), append(may, d.ID())
		}
	}
	switch len(found) {
	case 0:
		return words.Doubt{}, NoSuch("doubt", "doubts", text, known)
	case 1:
		return found[0], nil
	}
	return words.Doubt{}, &Unclear{What: "doubt", Text: text, May: may}
}

// Check finds a check of a list by its number, from 1, its name, or the
// beginning of its name where only one begins so. The error is an *Unknown or
// an *Unclear.
func Check(list farm.Checklist, text string) (int64, error) {
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(list.Items) {
		return int64(n), nil
	}
	var found []int
	var known []string
	for i, it := range list.Items {
		known = append(known, it.Name)
		if strings.EqualFold(it.Name, text) {
			return int64(i + 1), nil
		}
		if strings.HasPrefix(strings.ToLower(it.Name), strings.ToLower(text)) && text != "" {
			found = append(found, i)
		}
	}
	switch {
	case len(found) == 1:
		return int64(found[0] + 1), nil
	case len(found) > 1:
		return 0, &Unclear{What: "check", Text: text, May: []string{known[found[0]], known[found[1]]}}
	}
	return 0, NoSuch("check", "checks", text, known)
}
