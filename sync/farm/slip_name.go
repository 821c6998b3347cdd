package farm

import (
	"slices"

	"turnrow/sync/entry"
)

// nameSlips finds things of a kind whose names are so like that the later one
// may be a misspelling, made by somebody who knew of the first.
func (s *slipSt) nameSlips() []slip {
	var out []slip
	for _, k := range []thingKind{ground, drill, box, lot} {
		ts := s.sorted(k)
		names := make([]nameParts, len(ts))
		for i, t := range ts {
			names[i] = partsOf(t.text(nameField(k)))
		}
		for j, b := range ts {
			for i, a := range ts[:j] {
				if names[i].like(names[j]) && s.sameDrill(a, b) && b.made.knew(a.made) {
					out = append(out, s.nameSlip(a, b))
					break
				}
			}
		}
	}
	return out
}

func (s *slipSt) nameSlip(a, b *thing) slip {
	first, second := a.text(nameField(a.kind)), b.text(nameField(b.kind))
	return slip{
		finding: finding{NearName, a.kind.String() + " " + second, []*rec{a.made, b.made}}, field: "name",
		says: func() slipWords {
			return slipWords{
				why:     "there is a " + a.kind.String() + " " + first + " already: " + second + " would be another one",
				written: "two, " + first + " and " + second,
				instead: []meant{
					{text: "one, " + first, one: a.id, body: named(a.kind, a.id, first)},
					{text: "one, " + second, one: b.id, body: named(a.kind, b.id, second)},
				},
			}
		},
	}
}

// named is what gives a thing a name.
func named(k thingKind, id entry.ID, name string) entry.Body {
	switch n := entry.Some(name); k {
	case ground:
		return &entry.GroundSet{Ground: id, Name: n}
	case drill:
		return &entry.DrillSet{Drill: id, Name: n}
	case box:
		return &entry.BoxSet{Box: id, Name: n}
	default:
		return &entry.LotSet{Lot: id, Name: n}
	}
}

// joinsThings says whether a settlement says that things are one, and which
// they are then.
func joinsThings(b *entry.Settled) bool {
	oneOf := len(b.Stands) == 1 && slices.Contains(b.Entries, b.Stands[0])
	return oneOf && (b.Doubt == string(SameName) || b.Doubt == string(NearName) && b.Choice == entry.Instead)
}
