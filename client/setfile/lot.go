package setfile

import (
	"fmt"
	"math"
	"time"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// lot is a seed lot of the file.
type lot struct {
	at        node
	name, was string
	set       entry.LotSet
}

func (l *lot) called() string { return l.name }
func (l *lot) place() node    { return l.at }

func readLot(n node) (*lot, error) {
	l := &lot{at: n}
	s := &l.set
	share := func(dst *entry.Opt[units.Share]) func(node) error { return quantity(dst, units.ParseShare) }
	err := n.keys("a lot",
		key{"name", text(&l.name)},
		key{"was", text(&l.was)},
		key{"species", words(&s.Species)},
		key{"variety", words(&s.Variety)},
		key{"purity", share(&s.Purity)},
		key{"germination", share(&s.Germination)},
		key{"hard", share(&s.Hard)},
		key{"coating", share(&s.Coating)},
		key{"other_crop", share(&s.OtherCrop)},
		key{"weed_seed", share(&s.WeedSeed)},
		key{"inert", share(&s.Inert)},
		key{"tested", optional(&s.Tested, day)},
		key{"bag", quantity(&s.Bag, units.ParseMass)},
		key{"price", quantity(&s.Price, units.ParseMoney)},
		key{"inoculant", words(&s.Inoculant)},
		key{"endophyte", words(&s.Endophyte)},
		key{"seeds_per_lb", optional(&s.SeedsPerKg, perPound)},
		key{"seeds_per_kg", optional(&s.SeedsPerKg, whole)})
	if err == nil && l.name == "" {
		err = n.refuse("a lot needs a name: the lot number on its tag will do")
	}
	if err == nil && s.Germination.Val+s.Hard.Val > units.Whole {
		err = n.refuse("germination %v and hard seed %v come to more than 100%%", s.Germination.Val, s.Hard.Val)
	}
	return l, err
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
		changed(isNew, &s.SeedsPerKg, now.SeedsPerKg))
	w.lots[l.name], err = w.put(l.at, id, changes, &s)
	return err
}

func lotThings(v *farm.View) []thing {
	return things(v.Lots, func(l *farm.Lot) thing { return thing{l.ID, l.Name} })
}
