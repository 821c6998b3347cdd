package tell

import (
	"strconv"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

// Told is of how many doubts all is told. A crew has a handful; whoever has more
// than this settles these first, and the others follow.
const Told = 500

// Tell makes a doubt of a finding, with all that there is to say of it or only
// what it is and rests on.
func (s *Teller) Tell(f order.Finding, entries []entry.ID, all bool) conflict.Doubt {
	if !all {
		d := Untold(f.Kind, f.About, entries)
		d.Of = s.of(f.Recs)
		return d
	}
	d := conflict.Doubt{Kind: f.Kind, About: f.About, Entries: entries, Of: s.of(f.Recs)}
	what, said := make([]message.Message, len(f.Recs)), make([]saying, len(f.Recs))
	for i, r := range f.Recs {
		said[i] = saying{r, s.Writer(r), s.What(r.Body)}
		what[i] = message.Of("wrote", said[i].by, message.Name{Name: crew.DeviceName(r.Log)}, said[i].what)
	}
	d.What = inARow(message.Semicolons, what)
	d.Choices = s.choices(f, said)
	return d
}

// of is the things that records set, and the entries that they amend, with what
// those set.
func (s *Teller) of(rs []*order.Rec) (ids []entry.ID) {
	for _, r := range rs {
		if a, ok := r.Body.(*entry.Amended); ok {
			ids = append(ids, a.Entry)
			if r = s.Find(a.Entry); r == nil {
				continue
			}
		}
		id, ok := rule.Sets(r.Body)
		if ok && id.IsZero() {
			id = r.ID()
		}
		if ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// saying is an entry behind a finding: who wrote what.
type saying struct {
	*order.Rec
	by, what message.Arg
}

// Untold is a doubt of which only kind and entries are told.
func Untold(kind conflict.DoubtKind, about message.Message, entries []entry.ID) conflict.Doubt {
	return conflict.Doubt{Kind: kind, About: about, Entries: entries, What: message.Message{ID: "very-many-doubts"}}
}

// choices is the ways to settle a finding.
func (s *Teller) choices(f order.Finding, said []saying) []conflict.Choice {
	switch f.Kind {
	case conflict.TwoPlans:
		cs := eachOf(said)
		for i, value := range s.valuesIn(&f) {
			cs[i].What = message.Of("noted", value, cs[i].What)
		}
		return cs
	case conflict.TwoSettings:
		return eachOf(said)
	case conflict.SameName:
		one := conflict.Choice{Word: "one", What: message.Of("choice.same"), Stands: []entry.ID{f.Recs[0].ID()}}
		return []conflict.Choice{one, {Word: "two", What: message.Of("choice.different")}}
	case conflict.DoubleEntry:
		return append(eachOf(said), conflict.Choice{Word: "both", What: message.Of("choice.each-happened"), Stands: order.IDsOf(f.Recs)})
	case conflict.TwoBegins:
		return append(eachOf(said), conflict.Choice{Word: "both", What: message.Of("choice.each-true"), Stands: order.IDsOf(f.Recs)})
	case conflict.TwoSeeds:
		return []conflict.Choice{
			{Word: entry.Blended, What: message.Of("choice.blended"), Say: entry.Blended},
			{Word: entry.Layered, What: message.Of("choice.layered"), Say: entry.Layered},
		}
	case conflict.CounterBegin:
		return []conflict.Choice{{Word: entry.BeganAt, What: message.Of("choice.began-at"), Say: entry.BeganAt}}
	case conflict.CounterBack:
		return []conflict.Choice{asItStands(f.Recs)}
	}
	if f.Kind.IsSlip() {
		return []conflict.Choice{conflict.AsWritten(message.Message{}, entry.Opt[int64]{})}
	}
	return []conflict.Choice{{Word: "seen", What: message.Of("choice.seen")}}
}

// asItStands is the choice to let a reading be what it is by now, where it no
// longer runs back, and people differ on how it once did.
func asItStands(rs []*order.Rec) conflict.Choice {
	for _, r := range rs { // it is about one
		if at := work.ReadBy(r); at.Set {
			return conflict.AsWritten(message.Of("value", message.Decimal(at.Val)), entry.Some(int64(at.Val)))
		}
	}
	return conflict.Choice{Word: entry.Instead, What: message.Of("choice.stays-left-out"), Say: entry.Instead}
}

func eachOf(said []saying) []conflict.Choice {
	out := make([]conflict.Choice, len(said), len(said)+1) // and that both are so
	for i, w := range said {
		out[i] = conflict.Choice{Word: strconv.Itoa(i + 1), What: message.Of("choice.of", w.by, w.what), Stands: []entry.ID{w.ID()}}
	}
	return out
}
