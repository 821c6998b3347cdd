package trial

import "math"

// What an honest crew writes in a day: each is one entry, in its own words.
type (
	// BagsCame is bags of a lot that came to the farm.
	BagsCame struct{ Lot, Bags int }
	// Stood is where the counter stood, in acres, before anything was done.
	Stood struct{ Acres float64 }
	// Caught is a catch with its repeats, in grams, at a dial.
	Caught struct {
		Box   int
		Dial  float64
		Crank Crank
		Grams []float64
	}
	// Moved is a dial moved.
	Moved struct {
		Box  int
		Dial float64
	}
	// FilledBags and FilledMass are seed poured in, some with the counter's
	// reading beside them.
	FilledBags struct {
		Box, Bags int
		Acres     *float64
	}
	FilledMass struct {
		Box   int
		Grams float64
	}
	// Read is the counter's reading after work on a piece.
	Read struct {
		Acres  float64
		Ground int
	}
	// Looked is a level by eye, Weighed one on a scale.
	Looked struct {
		Box   int
		Share float64
	}
	Weighed struct {
		Box   int
		Grams float64
	}
	// Drained is all seed let out of a box, weighed.
	Drained struct {
		Box   int
		Grams float64
	}
	// Noted is a note.
	Noted struct{ Text string }
)

// Deed is one entry of an honest day.
type Deed struct {
	Minute float64 // of the day, when it is typed in
	Who    int     // 0 owner, 1 operator, 2 helper
	Does   any     // one of the types above
}

// Box is one of the boxes of an honest crew's drill.
type Box struct {
	Species    string
	BagPounds  float64
	Bushels    float64 // that the box holds, struck
	BushelTold float64 // published pounds to a bushel
	Aim        []float64
	Chart      func(dial float64) float64 // g/m²

	pounds float64 // that a bushel of this lot weighs
	dial   float64
	truth  *Field
	gives  func(dial float64) float64
}

// Piece of ground: as the map has it, and as it is worked, overlaps and all.
type Piece struct{ Mapped, worked float64 }

// Honest is one whole day of an honest crew.
type Honest struct {
	Boxes  []*Box
	Pieces []Piece
	Deeds  []Deed

	d      Draw
	minute float64
	begun  float64
	late   bool // all of it is typed in at night
	came   float64
	pace   float64 // acres an hour
	poured [2]int  // bags
	bought [2]int  // bags that were written; 0 where none were yet
}

// kind of box: the species, how heavy it is, and rates that people sow at.
type kindOfBox struct {
	species           string
	bag, bushels      float64
	told, least, most float64 // pounds to the bushel: published, and of lots
	rateLow, rateHigh float64 // pounds to the acre
}

// Oats weigh 32 lb/bu by law (Indiana Code 24-6-1-1), and from 27 lb (No. 4)
// to 38 lb (heavy) by the United States Standards for Oats (7 CFR 810.1004 and
// 1005); people sow 60 to 80 lb/ac alone (forages.org, Grass Manual). Clover
// weighs 60 lb/bu (Ohio State University Extension, AGF-503-00); red clover is
// sown at 8 to 10 lb/ac alone (West Virginia University Extension, TRIM 5302).
// That a lot weighs 5 % more or less, and the sizes of boxes and bags, are
// common practice, no source.
var kindsOfBox = []kindOfBox{
	{species: "Oat", bag: 50, bushels: 20, told: 32, least: 27, most: 38, rateLow: 60, rateHigh: 80},
	{species: "Red clover", bag: 50, bushels: 3, told: 60, least: 57, most: 63, rateLow: 8, rateHigh: 10},
}

// HonestDay draws a day: two boxes, some pieces, a crew of three.
func HonestDay(d Draw) *Honest {
	h := &Honest{d: d, minute: 6*60 + d.Flat(0, 90), late: d.Chance(0.08), came: d.Flat(0, 1), pace: d.Flat(3, 6)}
	h.begun = []float64{0, math.Round(d.Flat(5, 900)*10) / 10}[d.Whole(0, 1)]
	m := Published(FieldDrawn).Draw(d, 1)
	for range d.Whole(2, 4) {
		acres := d.Flat(4, 18)
		h.Pieces = append(h.Pieces, Piece{Mapped: math.Round(acres*d.Normal(1, 0.02)*10) / 10, worked: acres * d.Flat(1, 1.05)})
	}
	for _, k := range kindsOfBox {
		h.Boxes = append(h.Boxes, h.box(k, m))
	}
	return h.live()
}

// box draws one box, whose dial gives some times what its chart says.
func (h *Honest) box(k kindOfBox, m Drill) *Box {
	d := h.d
	mark := d.Flat(0.8, 2) * k.rateLow / 40 * Pound / Acre // g/m² that the chart says for one mark
	b := &Box{Species: k.species, BagPounds: k.bag, Bushels: k.bushels, BushelTold: k.told, pounds: d.Flat(k.least, k.most)}
	rate := d.Flat(k.rateLow, k.rateHigh)
	for range h.Pieces {
		if d.Chance(0.2) {
			rate = d.Flat(k.rateLow, k.rateHigh)
		}
		b.Aim = append(b.Aim, math.Round(rate)*Pound/Acre)
	}
	b.Chart = func(x float64) float64 { return mark * x }
	off, bend := d.Flat(0.75, 1.25), d.Normal(0, 0.1)
	middle := b.Aim[0] / mark
	b.gives = func(x float64) float64 { return off * mark * x * math.Pow(x/middle, bend) }
	m.Repeat, m.RowCV = Repeat.Draw(d), RowCV.Draw(d)
	b.truth = NewField(d, m)
	return b
}
