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

// refs are the places in a body that name things which must be of a kind. A
// hold and a signature count whatever they name.
func refs(b entry.Body) []reference {
	switch b := b.(type) {
	case *entry.Filled:
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	case *entry.Drained:
		return []reference{{&b.Box, "box"}}
	case *entry.LevelRead:
		return []reference{{&b.Box, "box"}}
	case *entry.Caught:
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	case *entry.DialMoved:
		return []reference{{&b.Box, "box"}}
	case *entry.MeterRead:
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	case *entry.CounterReset:
		return []reference{{&b.Drill, "drill"}}
	case *entry.StandCounted:
		return []reference{{&b.Ground, "ground"}}
	case *entry.BagsIn:
		return []reference{{&b.Lot, "lot"}}
	case *entry.BagsOut:
		return []reference{{&b.Lot, "lot"}}
	case *entry.VolumeFilled:
		return []reference{{&b.Box, "box"}, {&b.Lot, "lot"}}
	case *entry.VolumeWeighed:
		return []reference{{&b.Lot, "lot"}}
	case *entry.LabelSet:
		return []reference{{&b.Lot, "lot"}}
	case *entry.DialMarked:
		return []reference{{&b.Box, "box"}}
	case *entry.CounterStood:
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	case *entry.GroundFinished:
		return []reference{{&b.Drill, "drill"}, {&b.Ground, "ground"}}
	case *entry.GroundSet:
		return []reference{{&b.Ground, "ground"}}
	case *entry.DrillSet:
		return []reference{{&b.Drill, "drill"}}
	case *entry.BoxSet:
		return []reference{{&b.Box, "box"}, {&b.Drill, "drill"}}
	case *entry.LotSet:
		return []reference{{&b.Lot, "lot"}}
	case *entry.ChartPointSet:
		return []reference{{&b.Box, "box"}}
	case *entry.PlanSet:
		out := []reference{{&b.Ground, "ground"}}
		for i := range b.Components {
			out = append(out, reference{&b.Components[i].Lot, "lot"}, reference{&b.Components[i].Box, "box"})
		}
		return out
	}
	return refsOfHitch(b)
}

func refsOfHitch(b entry.Body) []reference {
	switch b := b.(type) {
	case *entry.MemberChanged:
		return []reference{{&b.Member, "person"}}
	case *entry.MemberStopped:
		return []reference{{&b.Member, "person"}}
	case *entry.Invited:
		return []reference{{&b.Person, "person"}}
	case *entry.Admitted:
		return []reference{{&b.Person, "person"}}
	case *entry.HitchBegun:
		return []reference{{&b.Drill, "drill"}}
	case *entry.HoldReleased:
		return []reference{{&b.Drill, "drill"}}
	case *entry.Unhitched:
		return []reference{{&b.Drill, "drill"}}
	case *entry.DrillMoved:
		return []reference{{&b.Drill, "drill"}}
	}
	return nil
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
