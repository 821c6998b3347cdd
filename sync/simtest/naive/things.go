package naive

import (
	"slices"

	"turnrow/sync/entry"
)

// making is the kind of thing that a body makes; "" where it makes none.
func making(b entry.Body) string {
	made := ""
	switch b := b.(type) {
	case *entry.GroundSet:
		if b.Ground.IsZero() {
			made = "ground"
		}
	case *entry.DrillSet:
		if b.Drill.IsZero() {
			made = "drill"
		}
	case *entry.BoxSet:
		if b.Box.IsZero() {
			made = "box"
		}
	case *entry.LotSet:
		if b.Lot.IsZero() {
			made = "lot"
		}
	case *entry.MemberAdded, *entry.FarmFounded:
		made = "person"
	case *entry.Pinned:
		if b.Of.IsZero() {
			made = "spot"
		}
	case *entry.Errand:
		if b.Of.IsZero() {
			made = "errand"
		}
	}
	return made
}

// fits says whether what a body refers to is of the kind that it takes it for.
func (f *Fold) fits(b entry.Body) bool {
	for _, r := range refs(b) {
		if r.id.IsZero() {
			continue
		}
		if it := f.byID[*r.id]; it == nil || making(it.Body) != r.kind {
			return false
		}
	}
	return true
}

// reference is a place in a body that names a thing.
type reference struct {
	id   *entry.ID
	kind string
}

// join takes things as one where a settlement says that they are.
func (f *Fold) join() {
	f.joined = map[entry.ID]entry.ID{}
	counting(f, func(_ *item, b *entry.Settled) {
		if b.Doubt != "same-name" || len(b.Stands) != 1 || !slices.Contains(b.Entries, b.Stands[0]) {
			return
		}
		to := b.Stands[0]
		for _, id := range b.Entries {
			a, z := f.byID[id], f.byID[to]
			alike := a != nil && z != nil && making(a.Body) != "" && making(a.Body) != "person" && making(a.Body) == making(z.Body)
			if _, itself := f.joined[to]; id != to && alike && !itself {
				f.joined[id] = to
			}
		}
	})
}

// canon is the thing that an ID stands for.
func (f *Fold) canon(id entry.ID) entry.ID {
	for range len(f.joined) {
		if to, ok := f.joined[id]; ok {
			id = to
		}
	}
	return id
}

// canonical is a body that names each thing as what it stands for.
func (f *Fold) canonical(b entry.Body) entry.Body {
	if len(f.joined) == 0 || b == nil {
		return b
	}
	c := copied(b)
	for _, r := range refs(c) {
		*r.id = f.canon(*r.id)
	}
	return c
}
