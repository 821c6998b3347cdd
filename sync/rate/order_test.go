package rate

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func order(rate, acres, bag float64) Order {
	return Order{Bulk: lbPerAcre(rate), Area: want(units.AreaFromAcres(acres)), Bag: pounds(bag)}
}

// Worked by hand: 34 lb/ac on 7.5 ac with 5 % over is 267.75 lb; 40 lb on hand
// leaves 227.75 lb, five bags of 50 lb at 14.50, so 72.50 and 9.67 an acre;
// 250 + 40 − 255 lb are left if the reserve is not used.
func TestOrderByHand(t *testing.T) {
	o := order(34, 7.5, 50)
	o.Reserve, o.OnHand, o.Price, o.Live = share(0.05), pounds(40), 1450, 0.85
	b, err := o.Bill()
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "wanted", b.Wanted.Pounds(), 267.75, 1e-5)
	agree(t, "lacking", b.Lacking.Pounds(), 227.75, 1e-5)
	agree(t, "left", b.Left.Pounds(), 35, 1e-4)
	agree(t, "cost per acre", b.CostPerAcre(), 72.5/7.5, 1e-6)
	agree(t, "cost per hectare", b.CostPerHectare(), 72.5/7.5*2.4710538147, 1e-6)
	agree(t, "cost per live pound", b.CostPerLivePound(), 72.5/250/0.85, 1e-6)
	if b.Bags != 5 || b.Cost != 7250 || b.LeftBags != 0 {
		t.Errorf("%d bags at %v, %d left", b.Bags, b.Cost, b.LeftBags)
	}
	lines, err := o.Explain(units.US)
	if err != nil || !slices.Equal(lines, []string{
		"seed = 34 lb/ac × 7.5 ac × (100 % + 5 % reserve) = 267.8 lb",
		"to buy = 267.8 lb − 40 lb on hand = 227.8 lb",
		"bags = 227.8 lb ÷ 50 lb, rounded up = 5",
		"cost = 5 × 14.50 = 72.50"}) {
		t.Errorf("%q, %v", lines, err)
	}
}

// What is a whole number of bags on paper is that number, in spite of rates
// and areas rounded to whole micrograms and square centimetres.
func TestWholeBagsOnPaperStayWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		acres := float64(rapid.IntRange(1, 200).Draw(t, "acres"))
		bags := int64(rapid.IntRange(1, 100).Draw(t, "bags"))
		b, err := order(float64(bags)*50/acres, acres, 50).Bill()
		if err != nil || b.Bags != bags {
			t.Fatalf("%d bags of 50 lb on %v ac come to %d, %v", bags, acres, b.Bags, err)
		}
	})
}

func TestBagsHoldWhatIsLacking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := order(rapid.Float64Range(1, 150).Draw(t, "rate"), rapid.Float64Range(0.1, 500).Draw(t, "acres"), 50)
		o.OnHand = pounds(rapid.Float64Range(0, 500).Draw(t, "on hand"))
		b, err := o.Bill()
		if err != nil {
			t.Fatal(err)
		}
		bought := units.Mass(b.Bags) * o.Bag
		if bought+o.Bag/bagTolerance < b.Lacking || b.Bags > 0 && bought-o.Bag >= b.Lacking {
			t.Fatalf("%d bags for %v", b.Bags, b.Lacking)
		}
		if b.Left < 0 || math.Abs(float64(bought+o.OnHand-b.Wanted-b.Left)) > float64(o.Bag/bagTolerance) {
			t.Fatalf("%v left of %v", b.Left, bought+o.OnHand)
		}
	})
}

func TestEnoughOnHandBuysNothing(t *testing.T) {
	o := order(20, 2, 50)
	o.OnHand, o.Price, o.Live = pounds(141), 3000, 0.9
	b, err := o.Bill()
	if err != nil || b.Bags != 0 || b.Cost != 0 || b.CostPerLivePound() != 0 || b.LeftBags != 2 {
		t.Errorf("%+v, %v", b, err)
	}
}

func TestOrderRefuses(t *testing.T) {
	good := order(20, 5, 50)
	for name, spoil := range map[string]func(*Order){
		"bulk rate":    func(o *Order) { o.Bulk = 0 },
		"area":         func(o *Order) { o.Area = -1 },
		"bag":          func(o *Order) { o.Bag = 0 },
		"price":        func(o *Order) { o.Price = -1 },
		"reserve":      func(o *Order) { o.Reserve = units.Whole + 1 },
		"seed on hand": func(o *Order) { o.OnHand = math.MaxInt64 },
		"live share":   func(o *Order) { o.Live = Live(math.NaN()) },
	} {
		o := good
		spoil(&o)
		_, err := o.Bill()
		var detail *RangeError
		if !errors.As(err, &detail) || detail.Quantity != name {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := o.Explain(units.US); err == nil {
			t.Errorf("%s: explained all the same", name)
		}
	}
	huge := Order{Bulk: math.MaxInt64, Area: math.MaxInt64, Bag: 1}
	if _, err := huge.Bill(); !errors.Is(err, units.ErrOverflow) {
		t.Errorf("overflow: %v", err)
	}
	dear := order(20, 5, 0.001)
	dear.Price = math.MaxInt64
	if _, err := dear.Bill(); !errors.Is(err, units.ErrOverflow) {
		t.Errorf("overflowing cost: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }
