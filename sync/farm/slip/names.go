package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
)

// nameSlips finds things of a kind whose names are so like that the later one
// may be a misspelling, made by somebody who knew of the first.
func (s *Slips) nameSlips() []Slip {
	var out []Slip
	for _, k := range []thing.ThingKind{thing.Ground, thing.Drill, thing.Box, thing.Lot} {
		ts := s.Sorted(k)
		names := make([]nameParts, len(ts))
		for i, t := range ts {
			names[i] = partsOf(t.Text(thing.NameField(k)))
		}
		for j, b := range ts {
			for i, a := range ts[:j] {
				if names[i].like(names[j]) && s.SameDrill(a, b) && b.Made.Knew(a.Made) {
					out = append(out, s.nameSlip(a, b))
					break
				}
			}
		}
	}
	return out
}

func (s *Slips) nameSlip(a, b *thing.Thing) Slip {
	first, second := a.Text(thing.NameField(a.Kind)), b.Text(thing.NameField(b.Kind))
	one, two := message.Name{Of: a.ID, Name: first}, message.Name{Of: b.ID, Name: second}
	return Slip{
		Finding: order.Finding{Kind: conflict.NearName, About: a.Kind.Named(two), Recs: []*order.Rec{a.Made, b.Made}}, field: "name",
		says: func() reason {
			return reason{
				why:     message.Of("slip.near-name", a.Kind.Named(one), two),
				written: message.Of("choice.two-things", one, two),
				instead: []meant{
					{text: message.Of("choice.one-thing", one), one: a.ID, body: named(a.Kind, a.ID, first)},
					{text: message.Of("choice.one-thing", two), one: b.ID, body: named(a.Kind, b.ID, second)},
				},
			}
		},
	}
}

// named is what gives a thing a name.
func named(k thing.ThingKind, id entry.ID, name string) entry.Body {
	switch n := entry.Some(name); k {
	case thing.Ground:
		return &entry.GroundSet{Ground: id, Name: n}
	case thing.Drill:
		return &entry.DrillSet{Drill: id, Name: n}
	case thing.Box:
		return &entry.BoxSet{Box: id, Name: n}
	default:
		return &entry.LotSet{Lot: id, Name: n}
	}
}
