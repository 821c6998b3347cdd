package sheet

import (
	"slices"

	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// tags is what the tags of the lots in use say, and the live share that
// follows.
func (s *Sheet) tags(used func(*farm.Lot) bool) *Table {
	t := &Table{Name: "lots", Title: "Seed lots and their tags",
		Note: "Live share = (100 % − coating) × purity × (germination + hard seed).",
		columns: []column{
			wide("lot", "Lot", 1), wide("species", "Species", 1.3), wide("variety", "Variety", 1), col("purity", "Purity", share),
			col("germination", "Germ.", share), col("hard", "Hard", share), col("coating", "Coat", share),
			col("other_crop", "Other crop", share), col("weed_seed", "Weed", share), col("live_share", "Live", share),
			col("tested", "Tested", day), col("bag", "Bag", mass), col("price", "Price", money),
			wide("inoculant", "Inoculant", 1), wide("endophyte", "Endophyte", 1)}}
	for i := range s.view.Lots {
		l := &s.view.Lots[i]
		if !used(l) {
			continue
		}
		var live, tested value
		if x, err := l.Tag.Live(); l.Tagged && err == nil {
			live = x.Share()
		}
		if l.Tested != 0 {
			tested = Day(l.Tested)
		}
		t.add(l.Name, l.Species, l.Variety, orBlank(l.Tag.Purity), orBlank(l.Tag.Germination), orBlank(l.Tag.Hard), orBlank(l.Tag.Coating),
			orBlank(l.OtherCrop), orBlank(l.WeedSeed), live, tested, orBlank(l.Bag), orBlank(l.Price), l.Inoculant, l.Endophyte)
	}
	return t
}

// usedInSpan says whether a lot was touched within the span.
func (s *Sheet) usedInSpan(l *farm.Lot) bool {
	for i := range s.lines {
		if concerns(&s.lines[i], l.ID) {
			return true
		}
	}
	for i := range s.went {
		if w := &s.went[i]; w.lot == l.ID && s.within(w.reading) {
			return true
		}
	}
	return false
}

// account is where all the seed of a lot is, by the record up to now.
type account struct {
	bought, sent, poured, sown, drained, boxes units.Mass
	// open says that some went out at no known rate, so that sown is the least, and
	// boxesOpen that it came out of what is in a box now, so that boxes is the most.
	open, boxesOpen bool
}

// belowNothing is from where on a figure is shown as less than nothing.
const belowNothing = -2000

// belowZero adds to what an account rests on why a figure of it is below
// nothing: that is so whether or not somebody has settled the doubt about it.
func (a *account) belowZero(doubts []words.Doubt) value {
	on := inDoubt(doubts)
	used := slices.ContainsFunc(doubts, func(d words.Doubt) bool { return d.Kind == farm.MoreThanCame })
	switch {
	case a.unbought() || a.bags() > belowNothing:
	case !used && a.bags()+a.drained > belowNothing:
		on = also(on, "perhaps what was let out was poured again")
	default:
		on = also(on, "more left the bags than came")
	}
	if !a.open && a.gap() <= belowNothing {
		on = also(on, foundMore)
	}
	return on
}

const foundMore = "more was found than was poured in"

// also adds words to the doubts that a row rests on.
func also(on value, why string) value {
	if text, ok := on.(string); ok {
		return text + "; " + why
	}
	return "? " + why
}

// unbought says that nobody wrote down the bags that came.
func (a *account) unbought() bool { return a.bought == 0 }

// bags is what should still be in bags: what came, less what left and what
// was poured.
func (a *account) bags() units.Mass { return a.bought - a.sent - a.poured }

// gap is what was poured and is in none of the places.
func (a *account) gap() units.Mass { return a.poured - a.sown - a.drained - a.boxes }

func (s *Sheet) account(l *farm.Lot) account {
	a := account{poured: l.Filled}
	a.bought, _ = l.Bag.Times(l.BagsIn)
	a.sent, _ = l.Bag.Times(l.BagsOut)
	for i := range s.went {
		if s.went[i].lot == l.ID {
			a.sown += s.went[i].mass
			a.open = a.open || s.went[i].unknown
		}
	}
	for _, b := range s.view.Boxes {
		for _, x := range b.Drained {
			if x.Lot == l.ID {
				a.drained += x.Mass
			}
		}
		for _, x := range b.Seed {
			if x.Lot == l.ID {
				a.boxes += x.Mass
				a.boxesOpen = a.boxesOpen || b.LeftOpen
			}
		}
	}
	return a
}

// use is each lot's account in mass: bought = sent back + in bags + poured,
// and poured = sown + let out + in boxes + not placed.
func (s *Sheet) use() *Table {
	t := &Table{Name: "use", Title: "Seed bought, used and left",
		Note: "Bought = sent back + in bags + poured in. Poured in = sown + let out + in boxes + not placed. By the whole record, up to now.",
		columns: []column{wide("lot", "Lot", 1), wide("species", "Species", 1.2), col("bags_bought", "Bags bought", number), col("bought", "Bought", mass),
			col("sent_back", "Sent back", mass), col("in_bags", "In bags", mass), col("poured", "Poured in", mass), col("sown", "Sown", mass),
			col("let_out", "Let out", mass), col("in_boxes", "In boxes", mass), col("not_placed", "Not placed", mass)}}
	var doubts []value
	for i := range s.view.Lots {
		l := &s.view.Lots[i]
		a := s.account(l)
		if a == (account{}) {
			continue
		}
		var bought, sent, bags value
		if !a.unbought() {
			bought, sent, bags = a.bought, a.sent, a.bags()
		}
		t.add(l.Name, l.Species, orBlank(l.BagsIn), bought, sent, bags, a.poured, known(a.sown, !a.open), a.drained,
			known(a.boxes, !a.boxesOpen), known(a.gap(), !a.open))
		doubts = append(doubts, a.belowZero(s.rests.Lot(l)))
	}
	t.marked(doubts)
	return t
}

// bill is the same accounts in money, split so that the parts add up to what
// was bought, to the cent.
func (s *Sheet) bill() *Table {
	t := &Table{Name: "bill", Title: "Seed in money",
		Note: "Bought = sown + sent back + left + not placed, to the cent. Left: in bags, in boxes, or let out again. A lot whose bags nobody wrote down counts as bought what was poured.",
		columns: []column{wide("lot", "Lot", 1), col("price", "A bag", money), col("bags_bought", "Bags", number), col("bought", "Bought", money), col("sown", "Sown", money),
			col("sent_back", "Sent back", money), col("left", "Left", money), col("not_placed", "Not placed", money)}}
	var sums [5]units.Money
	var doubts []value
	for i := range s.view.Lots {
		l := &s.view.Lots[i]
		a := s.account(l)
		if !priced(l) || a == (account{}) {
			continue
		}
		parts := a.money(l)
		t.add(l.Name, l.Price, orBlank(l.BagsIn), parts[0], known(parts[1], !a.open), parts[2], known(parts[3], !a.boxesOpen), known(parts[4], !a.open))
		doubts = append(doubts, a.belowZero(s.rests.Lot(l)))
		for n, p := range parts {
			sums[n] += p
		}
	}
	t.total = []value{"Together", nil, nil, sums[0], sums[1], sums[2], sums[3], sums[4]}
	t.marked(doubts)
	return t
}

// money is what was bought, sown, sent back, left and not placed: the first is
// the sum of the others.
func (a *account) money(l *farm.Lot) [5]units.Money {
	all, bags := a.bought, a.bags()
	if a.unbought() {
		all, bags = a.poured, 0
	}
	parts := []units.Mass{a.sown, a.sent, bags + a.boxes + a.drained, a.gap()}
	out := [5]units.Money{price(l, all)}
	var sum units.Mass
	var before units.Money
	for i, p := range parts {
		sum += p
		upTo := price(l, sum)
		out[i+1], before = upTo-before, upTo
	}
	return out
}

// bags is the bags that came and left within the span.
func (s *Sheet) bags() *Table {
	t := &Table{Name: "bags", Title: "Bags that came and left", columns: []column{
		col("time", "Time", clock), wide("what", "What", 0.8), wide("lot", "Lot", 1), col("bags", "Bags", number), col("", "Seed", mass),
		col("cost", "Cost", money), wide("person", "Who", 1), wide("note", "Note", 1.6)}}
	row := func(l *words.Line, what string, id entry.ID, n units.Count, note string) {
		lot, _ := s.view.LotOf(id)
		m, _ := lot.Bag.Times(n)
		t.add(s.moment(l), what, s.view.NameOf(id), n, orBlank(m), s.costOf(&sown{lot: id, cost: price(&lot, m)}), l.By, noted(l, note))
	}
	standing(s, func(l *words.Line, b *entry.BagsIn) { row(l, "came", b.Lot, b.Bags, b.Note) })
	standing(s, func(l *words.Line, b *entry.BagsOut) { row(l, "left", b.Lot, b.Bags, b.Note) })
	return t
}
