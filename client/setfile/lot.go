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
	bushels   node // the bag, where it is in bushels
}

func (l *lot) called() string { return l.name }
func (l *lot) place() node    { return l.at }

// keys are the keys of a lot.
func (l *lot) keys() []key {
	s := &l.set
	share := func(dst *entry.Opt[units.Share]) func(node) error { return quantity(dst, units.ParseShare) }
	return []key{
		{"name", text(&l.name)},
		{"was", text(&l.was)},
		{"species", words(&s.Species)},
		{"variety", words(&s.Variety)},
		{"purity", share(&s.Purity)},
		{"germination", share(&s.Germination)},
		{"hard", share(&s.Hard)},
		{"coating", share(&s.Coating)},
		{"other_crop", share(&s.OtherCrop)},
		{"weed_seed", share(&s.WeedSeed)},
		{"inert", share(&s.Inert)},
		{"tested", optional(&s.Tested, day)},
		{"bag", l.readBag},
		{"price", quantity(&s.Price, units.ParseMoney)},
		{"inoculant", words(&s.Inoculant)},
		{"endophyte", words(&s.Endophyte)},
		{"seeds_per_lb", optional(&s.SeedsPerKg, perPound)},
		{"seeds_per_kg", optional(&s.SeedsPerKg, whole)},
	}
}

func readLot(n node) (*lot, error) {
	l := &lot{at: n}
	err := n.keys("a lot", l.keys()...)
	s := &l.set
	if err == nil && l.name == "" {
		err = n.refuse("a lot needs a name: the lot number on its tag will do")
	}
	if err == nil && s.Germination.Val+s.Hard.Val > units.Whole {
		err = n.refuse("germination %v and hard seed %v come to more than 100%%", s.Germination.Val, s.Hard.Val)
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

// day reads a date as days since 1970.
func day(s string) (int64, error) {
	for _, layout := range []string{"2006-01-02", "2006-01"} {
		if t, err := time.Parse(layout, s); err == nil && t.Year() >= 1970 {
			return t.Unix() / (24 * 60 * 60), nil
		}
	}
	return 0, fmt.Errorf("%q is not a date such as 2026-06-01", s)
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
		changed(isNew, &s.Variety, now.Variety), changed(isNew, &s.Purity, now.Tag.Purity),
		changed(isNew, &s.Germination, now.Tag.Germination), changed(isNew, &s.Hard, now.Tag.Hard),
		changed(isNew, &s.Coating, now.Tag.Coating), changed(isNew, &s.OtherCrop, now.OtherCrop),
		changed(isNew, &s.WeedSeed, now.WeedSeed), changed(isNew, &s.Inert, now.Inert),
		changed(isNew, &s.Tested, now.Tested), changed(isNew, &s.Bag, now.Bag), changed(isNew, &s.Price, now.Price),
		changed(isNew, &s.Inoculant, now.Inoculant), changed(isNew, &s.Endophyte, now.Endophyte),
		changed(isNew, &s.SeedsPerKg, now.SeedsPerKg), changed(false, &s.BagPrinted, now.BagPrinted))
	if s.Bag.Set || s.BagPrinted.Set {
		w.note(l.bushels, note)
	}
	w.lots[l.name], err = w.put(l.at, id, changes, &s)
	return err
}

func lotThings(v *farm.View) []thing {
	return things(v.Lots, func(l *farm.Lot) thing { return thing{l.ID, l.Name} })
}
