package rule

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
)

// rule is what holds for all entries of one kind. The rows are in rules.go.
type rule struct {
	kind  entry.Kind
	role  entry.Role // the weakest that may write it
	edits editing
	crew  bool                          // it says who belongs, or who may do what
	made  thing.ThingKind               // what it makes, where makes says so
	makes func(entry.Body) bool         // nil of a kind that makes nothing
	refs  func(entry.Body, []ref) []ref // adds what a body refers to, in the order of its fields; nil where that is nothing
}

// Rules is what rules are asked of.
type Rules struct {
	thing.Things
	refs []ref // room for what a body that is looked at refers to
}

// editing is what others may say of an entry.
type editing uint8

const (
	fixed     editing = iota + 1 // nothing: it keeps people safe, or says who belongs to the farm
	strikable                    // it may be struck, and is written again rather than reworded
	amendable                    // it may be struck, and given another body
)

// anyone is the role of kinds that need none: whoever says stop is heard, and
// who asks to join or recovers the farm has no role yet.
const anyone = entry.NoRole

// ref is what a field of a body names.
type ref struct {
	is thing.ThingKind // anything, where the entry counts whatever it is
	id entry.ID        // zero where it is left out
}

// anything is the kind of what an entry names without leaning on it.
const anything thing.ThingKind = 255

// later is the rule of kinds that only a later version knows.
var later = rule{role: entry.Operator, edits: amendable}

func ruleOf(k entry.Kind) *rule {
	if k > entry.LastKind || rules[k].edits == 0 {
		return &later
	}
	return &rules[k]
}

// of is a kind's row. Each column is given, nil where there is none.
func of[B entry.Body](role entry.Role, e editing, refs func(B, []ref) []ref) rule {
	var b B
	r := rule{kind: b.Kind(), role: role, edits: e}
	if refs != nil {
		r.refs = func(b entry.Body, to []ref) []ref {
			if of, ok := b.(B); ok { // else it could not be read
				return refs(of, to)
			}
			return to
		}
	}
	return r
}

// ofCrew is the row of a kind that says who belongs, or who may do what.
func ofCrew[B entry.Body](role entry.Role, refs func(B, []ref) []ref) rule {
	r := of(role, fixed, refs)
	r.crew = true
	return r
}

// making is a row of a kind whose bodies, such as makes says, make a thing.
func making(k thing.ThingKind, makes func(entry.Body) bool, r rule) rule {
	r.made, r.makes = k, makes
	return r
}

// Needs is the weakest role that may write a kind.
func Needs(k entry.Kind) entry.Role { return ruleOf(k).role }

// AboutCrew says whether entries of a kind say who belongs, or who may do what.
func AboutCrew(k entry.Kind) bool { return ruleOf(k).crew }

// Amendable says whether an entry of a kind may be given another body. A
// signature, a release or a move of the drill is written again, not reworded.
func Amendable(k entry.Kind) bool { return ruleOf(k).edits >= amendable }

// Strikable says whether an entry of a kind may be struck. What keeps people
// safe, and who belongs to the farm, may not.
func Strikable(k entry.Kind) bool { return ruleOf(k).edits >= strikable }

// Makes is the kind of thing that a body makes, if it makes one.
func Makes(b entry.Body) (thing.ThingKind, bool) {
	r := ruleOf(b.Kind())
	if r.makes == nil || !r.makes(b) {
		return 0, false
	}
	return r.made, true
}

// Is says whether an ID names a thing of a kind. It goes by the entry that
// made the thing, and so is the same on every replica.
func (s *Rules) Is(id entry.ID, k thing.ThingKind) bool {
	r := s.Find(id)
	if r == nil {
		return false
	}
	of := ruleOf(r.Body.Kind())
	return of.made == k && of.makes != nil && of.makes(r.Body)
}

// Fits says whether the things that a body refers to are what it takes them
// for. References that are left out fit.
func (s *Rules) Fits(b entry.Body) bool {
	refs := ruleOf(b.Kind()).refs
	if refs == nil {
		return true
	}
	s.refs = refs(b, s.refs[:0])
	for i := range s.refs {
		if r := &s.refs[i]; r.is != anything && !r.id.IsZero() && !s.Is(r.id, r.is) {
			return false
		}
	}
	return true
}

// About is the things and entries that a body is about; for a body that sets a
// thing, the first is that thing, zero where it makes a new one.
func About(b entry.Body) (ids []entry.ID) {
	r := ruleOf(b.Kind())
	if r.refs == nil {
		return nil
	}
	for _, to := range r.refs(b, nil) {
		if r.makes != nil || !to.id.IsZero() {
			ids = append(ids, to.id)
		}
	}
	if a, ok := b.(*entry.Amended); ok && a.Body != nil {
		ids = append(ids, About(a.Body)...)
	}
	return ids
}

// Sets is the thing that a body sets fields of, zero where it makes the thing;
// false where it sets none.
func Sets(b entry.Body) (id entry.ID, ok bool) {
	switch b.Kind() {
	case entry.KindDrillSet, entry.KindBoxSet, entry.KindGroundSet, entry.KindLotSet, entry.KindLabelSet,
		entry.KindChartPointSet, entry.KindPlanSet, entry.KindDialMarked, entry.KindVolumeWeighed, entry.KindGroundFinished:
	default:
		return id, false
	}
	if about := About(b); len(about) > 0 {
		id = about[0]
	}
	return id, true
}
