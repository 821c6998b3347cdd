package setfile

import (
	"fmt"
	"math"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// lot is a seed lot of the file.
type lot struct {
	at        node
	name, was string
	set       entry.LotSet
	label     entry.LabelSet // with one line, whose seed is named once it is known
	bushels   node           // the bag, where it is in bushels
	tested    node           // the day of the germination test
}

func (l *lot) called() string { return l.name }
func (l *lot) place() node    { return l.at }

// keys are the keys of a lot.
func (l *lot) keys() []key {
	if len(l.label.Lines) == 0 {
		l.label.Lines = make([]entry.LabelLine, 1)
	}
	s, label, line := &l.set, &l.label, &l.label.Lines[0]
	share := func(dst *entry.Opt[units.Share]) func(node) error { return quantity(dst, units.ParseShare) }
	return []key{
		{"name", text(&l.name)},
		{"was", text(&l.was)},
		{"species", wording(&s.Species)},
		{"variety", wording(&s.Variety)},
		{"purity", share(&line.Share)},
		{"germination", share(&line.Germination)},
		{"hard", share(&line.Hard)},
		{"coating", share(&line.Coating)},
		{"other_crop", share(&label.OtherCrop)},
		{"weed_seed", share(&label.WeedSeed)},
		{"inert", share(&label.Inert)},
		{"coating_counted", counted(&label.CoatingCounted)},
		{"tested", func(n node) error { l.tested = n; return optional(&s.Tested, day)(n) }},
		{"bag", l.readBag},
		{"price", quantity(&s.Price, units.ParseMoney)},
		{"inoculant", wording(&s.Inoculant)},
		{"endophyte", wording(&s.Endophyte)},
		{"seeds_per_lb", optional(&s.SeedsPerKg, perPound)},
		{"seeds_per_kg", optional(&s.SeedsPerKg, whole)},
	}
}

func readLot(n node) (*lot, error) {
	l := &lot{at: n}
	err := n.keys("a lot", l.keys()...)
	line := &l.label.Lines[0]
	if err == nil && l.name == "" {
		err = n.refuse("a lot needs a name: the lot number on its tag will do, such as {name: O-1}")
	}
	if err == nil && line.Germination.Val+line.Hard.Val > units.Whole {
		err = n.refuse("germination %v and hard seed %v come to more than 100%%: read the tag again", line.Germination.Val, line.Hard.Val)
	}
	return l, err
}

// readBag reads what is in a bag. Bushels wait until the species is known.
func (l *lot) readBag(n node) error {
	w, err := n.word()
	if err != nil {
		return err
	}
	if _, ok := units.BushelIn(w); ok {
		l.bushels = n
		return nil
	}
	l.set.BagPrinted = entry.Some("")
	return quantity(&l.set.Bag, units.ParseMass)(n)
}

// bag reads a bag in bushels by the weight of one of the species.
func (l *lot) bag(species string) (note string, err error) {
	if l.bushels.Node == nil {
		return "", nil
	}
	w, _ := l.bushels.word()
	m, in, err := rate.ReadBag(w, species)
	if err != nil {
		return "", l.bushels.wrap(err)
	}
	l.set.Bag, l.set.BagPrinted = entry.Some(m), entry.Some(in.Printed)
	return bushelNote(in, m.Format(units.US)), nil
}

// counted reads whether a label's purity counts the coating.
func counted(dst *entry.CoatingCounted) func(node) error {
	return func(n node) error {
		switch w, err := n.word(); {
		case err != nil:
			return err
		case w == "in":
			*dst = entry.CoatingIn
		case w == "apart":
			*dst = entry.CoatingApart
		default:
			return n.refuse("%q is neither in (purity is a share of all that is in the bag, coating and all) nor apart (of the seed without its coating)", w)
		}
		return nil
	}
}

// day reads a date as days since 1970.
func day(s string) (int64, error) {
	for _, layout := range []string{"2006-01-02", "2006-01"} {
		if t, err := time.Parse(layout, s); err == nil && t.Year() >= 1970 {
			return t.Unix() / (24 * 60 * 60), nil
		}
	}
	return 0, fmt.Errorf("%q is not a date, such as 2026-06-01", s)
}

// CheckTests holds the day of each lot's germination test, counted since 1970,
// against what the caller knows of the time. The error is a *Problem.
func (f *File) CheckTests(check func(day int64) error) error {
	return each(f.lots, func(l *lot) error {
		if !l.set.Tested.Set {
			return nil
		}
		return l.tested.wrap(check(l.set.Tested.Val))
	})
}

// perPound reads seeds to the pound as seeds to the kilogram; a pound is
// 0.45359237 kg (NIST Special Publication 811, Appendix B).
func perPound(s string) (int64, error) {
	n, err := whole(s)
	return rounded(float64(n) / 0.45359237), err
}

func rounded(x float64) int64 { return int64(math.Round(x)) }

func (w *writer) setLot(l *lot) error {
	id, err := w.match(l.at, "lot", l.name, l.was, lotThings(w.view))
	if err != nil {
		return err
	}
	now, _ := w.view.LotOf(id)
	species := now.Species
	if l.set.Species.Set {
		species = l.set.Species.Val
	}
	note, err := l.bag(species)
	if err != nil {
		return err
	}
	s := l.set
	s.Lot, s.Name = id, entry.Some(l.name)
	isNew := id.IsZero()
	changes := some(changed(isNew, &s.Name, now.Name), changed(isNew, &s.Species, now.Species),
		changed(isNew, &s.Variety, now.Variety),
		changed(isNew, &s.Tested, now.Tested), changed(isNew, &s.Bag, now.Bag), changed(isNew, &s.Price, now.Price),
		changed(isNew, &s.Inoculant, now.Inoculant), changed(isNew, &s.Endophyte, now.Endophyte),
		changed(isNew, &s.SeedsPerKg, now.SeedsPerKg), changed(false, &s.BagPrinted, now.BagPrinted))
	if s.Bag.Set || s.BagPrinted.Set {
		w.note(l.bushels, note)
	}
	species, variety := now.Species, now.Variety
	if l.set.Species.Set {
		species = l.set.Species.Val
	}
	if l.set.Variety.Set {
		variety = l.set.Variety.Val
	}
	if w.lots[l.name], err = w.put(l.at, id, changes, &s); err != nil {
		return err
	}
	return w.setLabel(l, w.lots[l.name], &now, species, variety)
}

// setLabel adds what the label of a lot says, where that is something else than
// before.
func (w *writer) setLabel(l *lot, id entry.ID, now *farm.Lot, species, variety string) error {
	want := l.label
	want.Lot = id
	want.Lines[0].Species, want.Lines[0].Variety = species, variety
	b := now.Relabelled(want)
	if b == nil {
		return nil
	}
	if species == "" && len(b.Lines) > 0 {
		return l.at.refuse("what the label of lot %q says is said of a species: give species as well, such as species: oat", l.name)
	}
	_, err := w.add(l.at, b)
	return err
}

func lotThings(v *farm.View) []thing {
	return things(v.Lots, func(l *farm.Lot) thing { return thing{l.ID, l.Name} })
}
