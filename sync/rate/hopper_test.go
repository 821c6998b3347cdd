package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"turnrow/sync/units"
)

const (
	kilogram units.Mass = 1_000_000
	hectare  units.Area = 100_000_000
)

func seedIn(t *testing.T, rows []int, events ...BoxEvent) Seed {
	t.Helper()
	s, err := SeedIn(rows, events)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func pour(side int, lot string, mass units.Mass) BoxEvent {
	return BoxEvent{Kind: Poured, Side: side, Lot: lot, Mass: mass}
}

func sow(area units.Area, rate units.RatePerArea) BoxEvent {
	return BoxEvent{Kind: Sown, Side: AllSides, Area: area, Rate: rate}
}

// By hand: 20 kg of O-1 and 30 kg of O-2 in one box; 25 kg/ha on 1 ha takes all
// of O-1 and 5 kg of O-2.
func TestFirstLotGoesOutFirst(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", 20*kilogram), pour(0, "O-2", 30*kilogram), sow(hectare, 2_500_000))
	if got := s.Sides[0].Layers; !slices.Equal(got, []Layer{{Lot: "O-2", Mass: 25 * kilogram}}) {
		t.Errorf("left: %v", got)
	}
	want := []Gone{{2, 0, Layer{Lot: "O-1", Mass: 20 * kilogram}}, {2, 0, Layer{Lot: "O-2", Mass: 5 * kilogram}}}
	if !slices.Equal(s.Gone, want) {
		t.Errorf("gone: %v, want %v", s.Gone, want)
	}
}

// Sides feed 10 and 6 rows: each gets and gives its part by rows.
func TestSidesShareByRows(t *testing.T) {
	s := seedIn(t, []int{10, 6}, pour(AllSides, "R-1", 16*kilogram), sow(hectare, 800_000))
	for i, want := range []units.Mass{5 * kilogram, 3 * kilogram} {
		if got := s.Sides[i].Mass(); got != want {
			t.Errorf("side %d: %v, want %v", i, got, want)
		}
	}
	alone := seedIn(t, []int{10, 6}, pour(AllSides, "R-1", 16*kilogram),
		BoxEvent{Kind: Sown, Side: 1, Area: hectare, Rate: 800_000})
	if a, b := alone.Sides[0].Mass(), alone.Sides[1].Mass(); a != 10*kilogram || b != 3*kilogram {
		t.Errorf("one side sown alone: %v and %v left, want 10 and 3 kg", a, b)
	}
}

func TestShortIsKeptNotLost(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", 20*kilogram), sow(hectare, 2_500_000))
	if side := s.Sides[0]; side.Mass() != 0 || side.Short != 5*kilogram {
		t.Errorf("left %v, short %v, want 0 and 5 kg", side.Mass(), side.Short)
	}
}

func TestEmptiedLeavesNothing(t *testing.T) {
	s := seedIn(t, []int{1, 1}, pour(AllSides, "O-1", 20*kilogram), BoxEvent{Kind: Emptied, Side: 1},
		BoxEvent{Kind: TakenOut, Side: 0, Mass: 4 * kilogram})
	if a, b := s.Sides[0].Mass(), s.Sides[1].Mass(); a != 6*kilogram || b != 0 {
		t.Errorf("left %v and %v, want 6 and 0 kg", a, b)
	}
}

// By hand: the books say 20 kg ± 3 kg (10 % of the 30 kg metered), the reading
// 26 kg ± 4 kg. They are within chance, so the mean weighs them 16 to 9.
func TestReadingIsAveragedWithTheBooks(t *testing.T) {
	events := []BoxEvent{pour(0, "O-1", 50*kilogram),
		{Kind: Sown, Area: hectare, Rate: 3_000_000, RateSpread: known(0.1)},
		{Kind: LevelRead, Mass: 26 * kilogram, Std: 4 * kilogram}}
	s := seedIn(t, []int{16}, events...)
	if got := s.Sides[0].Mass(); got != 22_160_000 {
		t.Errorf("left %v, want (16 × 20 + 9 × 26) ÷ 25 = 22.16 kg", got)
	}
	agree(t, "uncertainty", float64(s.Sides[0].Std()), 2.4e6, 1e-6) // 3 × 4 ÷ 5
	b := s.Balances[0]
	if b.Off || b.Book != 20*kilogram || b.Read != 26*kilogram || b.Event != 2 {
		t.Errorf("balance %+v", b)
	}
	// 99 times in 100: the rate's own ends, 30 kg × (e^±0.2576 − 1), and 2.576 × 4 kg in squares.
	agree(t, "low", float64(b.Low), 20e6-math.Hypot(30e6*(math.Exp(0.2575829304)-1), 2.575829304*4e6), 1e-6)
	agree(t, "high", float64(b.High), 20e6+math.Hypot(30e6*(1-math.Exp(-0.2575829304)), 2.575829304*4e6), 1e-6)
}

func TestReadingThatContradictsTheBooksStands(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", 50*kilogram),
		BoxEvent{Kind: Sown, Area: hectare, Rate: 3_000_000, RateSpread: known(0.05)},
		BoxEvent{Kind: LevelRead, Mass: 5 * kilogram, Std: kilogram})
	if b := s.Balances[0]; !b.Off {
		t.Errorf("balance %+v: 15 kg apart with 1.8 kg of doubt must be off", b)
	}
	if got := s.Sides[0]; got.Mass() != 5*kilogram || got.Std() != kilogram {
		t.Errorf("left %v ± %v, want the reading", got.Mass(), got.Std())
	}
}

// Seed found in a box that the books had emptied is of the lot last in it.
func TestReadingFindsSeedOfTheLastLot(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", 10*kilogram),
		BoxEvent{Kind: Sown, Area: hectare, Rate: 1_000_000, RateSpread: known(0.2)},
		BoxEvent{Kind: LevelRead, Mass: 2 * kilogram})
	if got := s.Sides[0].Layers; !slices.Equal(got, []Layer{{Lot: "O-1", Mass: 2 * kilogram}}) {
		t.Errorf("left %v", got)
	}
}

// Nothing poured is lost or doubled: what is left, gone and taken out adds up
// to what came in, to the milligram, less what was short.
func TestNoMilligramIsLost(t *testing.T) {
	source := rand.New(rand.NewPCG(20, 21))
	for range 200 {
		rows := make([]int, 1+source.IntN(3))
		for i := range rows {
			rows[i] = 1 + source.IntN(12)
		}
		poured, out, events := units.Mass(0), units.Mass(0), []BoxEvent(nil)
		for range 100 {
			e := BoxEvent{Side: source.IntN(len(rows)+1) - 1, Mass: units.Mass(source.Int64N(30e6))}
			switch source.IntN(4) {
			case 0:
				e.Kind, e.Mass = TakenOut, e.Mass/10
				out += e.Mass
			case 1:
				e.Kind, e.Lot = Poured, string(rune('A'+source.IntN(3)))
				poured += e.Mass
			default:
				e.Kind, e.Area, e.Rate, e.Mass = Sown, units.Area(source.Int64N(5e7)), units.RatePerArea(source.Int64N(3e6)), 0
				all, err := e.Rate.On(e.Area)
				if err != nil {
					t.Fatal(err)
				}
				out += all // less the part of sides that are not sown, taken off below
			}
			events = append(events, e)
		}
		s := seedIn(t, rows, events...)
		left, gone, short := units.Mass(0), units.Mass(0), units.Mass(0)
		for _, side := range s.Sides {
			left += side.Mass()
			short += side.Short
		}
		for _, g := range s.Gone {
			gone += g.Mass
		}
		taken := units.Mass(0)
		for _, e := range events {
			if e.Kind == TakenOut {
				taken += e.Mass
			}
		}
		if left < 0 || left+gone > poured || left+gone+taken < poured || left+gone+taken-short > poured {
			t.Fatalf("poured %v, left %v, gone %v, taken %v, short %v", poured, left, gone, taken, short)
		}
		if len(rows) == 1 && left != poured+short-out {
			t.Fatalf("one side: left %v, want %v + %v − %v", left, poured, short, out)
		}
	}
}

func TestBoxEventsThatAreRefused(t *testing.T) {
	cases := map[string]BoxEvent{
		"kind of box event 2 0: it must be from 1 to 5":                                     {},
		"kind of box event 2 6: it must be from 1 to 5":                                     {Kind: 6},
		"compartment of box event 2 2: it must be from 0 to 1, or -1 for all":               {Kind: Poured, Side: 2},
		"mass of box event 2 -0.001 g: it must be from 0 to 1,000,000 t":                    {Kind: Poured, Mass: -1},
		"area of box event 2 -0.0001 m2: it must be 0 or more":                              {Kind: Sown, Area: -1},
		"rate of box event 2 -0.00001 kg/ha: it must be from 0 to 100,000 kg/ha":            {Kind: Sown, Rate: -1},
		"variance of the rate of box event 2 1.01: it must be from 0 to 1":                  {Kind: Sown, RateSpread: Spread{1.01, 5}},
		"degrees of freedom of the rate of box event 2 0.5: it must be 1 or more":           {Kind: Sown, RateSpread: Spread{0.01, 0.5}},
		"uncertainty of the mass of box event 2 -0.001 g: it must be from 0 to 1,000,000 t": {Kind: Poured, Std: -1},
	}
	for want, e := range cases {
		_, err := SeedIn([]int{8, 8}, []BoxEvent{pour(0, "O-1", kilogram), e})
		if !errors.Is(err, units.ErrRange) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if _, err := SeedIn(nil, nil); !errors.Is(err, units.ErrRange) {
		t.Errorf("no compartments: %v", err)
	}
	if _, err := SeedIn([]int{0}, nil); !errors.Is(err, units.ErrRange) {
		t.Errorf("a compartment without rows: %v", err)
	}
	huge := BoxEvent{Kind: Sown, Side: AllSides, Area: math.MaxInt64, Rate: greatestRate}
	if _, err := SeedIn([]int{1}, []BoxEvent{huge}); !errors.Is(err, units.ErrOverflow) {
		t.Errorf("overflow: %v", err)
	}
	many := make([]BoxEvent, 20)
	for i := range many {
		many[i] = pour(0, "O-1", greatestMass)
	}
	if _, err := SeedIn([]int{1}, many); !errors.Is(err, units.ErrRange) {
		t.Errorf("more than a million tonnes: %v", err)
	}
}
