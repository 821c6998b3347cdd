package trial

import "math"

// live the day.
func (h *Honest) live() *Honest {
	h.bags(0.7)
	h.write(1, Stood{h.begun}, 3)
	for i := range h.Boxes {
		h.fill(i)
		h.calibrate(i, 0)
	}
	for g := range h.Pieces {
		for i, b := range h.Boxes {
			if g > 0 && b.Aim[g] != b.Aim[g-1] {
				h.calibrate(i, g)
			}
		}
		h.work(g)
	}
	h.evening()
	return h
}

// write what was done just now, after so many minutes of it. What is typed in
// late is typed in one go at night, or with what is done next.
func (h *Honest) write(who int, does any, took float64) {
	h.minute += took * h.d.Flat(0.6, 1.6)
	at := h.minute
	if h.late {
		at = 21*60 + float64(len(h.Deeds))*0.5
	} else if h.d.Chance(0.1) {
		at += h.d.Flat(0, took)
	}
	if n := len(h.Deeds); n > 0 {
		at = math.Max(at, h.Deeds[n-1].Minute+0.2)
	}
	h.Deeds = append(h.Deeds, Deed{Minute: at, Who: who, Does: does})
}

// bags that came are written at once by most, by some at night, by some never.
func (h *Honest) bags(upTo float64) {
	if h.came > upTo {
		return
	}
	for i, b := range h.Boxes {
		need := 0.0
		for g, p := range h.Pieces {
			need += b.Aim[g] * p.worked * Acre / Pound / b.BagPounds
		}
		h.bought[i] = max(int(math.Ceil(need*1.4))+1, h.poured[i])
		h.write(2, BagsCame{i, h.bought[i]}, 4)
	}
	h.came = 2
}

// calibrate catches where the chart points, moves the dial by what that shows,
// and catches once more.
func (h *Honest) calibrate(box, piece int) {
	b, d := h.Boxes[box], h.d
	aim := b.Aim[piece]
	if b.dial == 0 {
		h.turn(box, aim/(b.Chart(1)))
	}
	for range d.Whole(1, 2) {
		got := h.catch(box)
		if off := aim / got; math.Abs(off-1) > 0.03 {
			h.turn(box, b.dial*off)
		} else {
			return
		}
	}
	if d.Chance(0.5) {
		h.catch(box)
	}
}

// turn the dial to the nearest half mark, where it is not there yet.
func (h *Honest) turn(box int, to float64) {
	b := h.Boxes[box]
	to = math.Round(to*2) / 2
	if to == b.dial {
		return
	}
	b.dial = to
	h.write(1, Moved{box, to}, 2)
}

// catch once or a few times; what it shows, in g/m².
func (h *Honest) catch(box int) float64 {
	b, d := h.Boxes[box], h.d
	m := b.truth.Drill
	m.Rate = b.gives(b.dial)
	rows := []int{4, 8, 16, 16}[d.Whole(0, 3)]
	c := Crank{Turns: d.Whole(10, 30), Rows: rows, Step: []float64{0.1, 1, 1, 5}[d.Whole(0, 3)]}.Enough(m)
	grams := c.Catches(d, m, d.Whole(1, 3))
	sum := 0.0
	for _, g := range grams {
		sum += g
	}
	h.write(0, Caught{box, b.dial, c, grams}, 12)
	return sum / float64(len(grams)) / c.area(RollTold)
}

// fill a box from bags, as far as they go in.
func (h *Honest) fill(box int) {
	b, d := h.Boxes[box], h.d
	room := b.Bushels*b.pounds*d.Flat(0.8, 1) - b.truth.Seed/Pound
	n := int(room / b.BagPounds)
	if more := h.poured[box] + n - h.bought[box]; h.bought[box] > 0 && more > 0 {
		h.bought[box] += more + 5
		h.write(0, BagsCame{box, more + 5}, 20) // fetched from the barn that sells it
	}
	if half := n / 2; n%2 == 0 && half > 0 && d.Chance(0.03) {
		h.pour(box, half) // half of it from one side of the box, half from the other
		n = half
	}
	if n > 0 {
		h.pour(box, n)
	}
}

// pour so many bags, told as bags or as their mass.
func (h *Honest) pour(box, bags int) {
	b, d := h.Boxes[box], h.d
	h.poured[box] += bags
	told := float64(bags) * b.BagPounds * Pound
	b.truth.Pour(d, told)
	switch now := h.begun + b.truth.Reading(); {
	case d.Chance(0.5):
		h.write(2, FilledMass{box, told}, 6)
	case d.Chance(0.4):
		h.write(2, FilledBags{box, bags, &now}, 6)
	default:
		h.write(2, FilledBags{Box: box, Bags: bags}, 6)
	}
}

// work a piece to its end, in stretches; boxes are filled before they are dry.
func (h *Honest) work(piece int) {
	d := h.d
	for left := h.Pieces[piece].worked; left > 0.05; {
		shown := math.Min(left, h.pace*d.Flat(0.15, 0.6)) * h.Boxes[0].truth.Counter
		for _, b := range h.Boxes {
			b.truth.Rate = b.gives(b.dial)
			shown = math.Min(shown, b.truth.Dry()*0.9)
		}
		for _, b := range h.Boxes {
			b.truth.Work(d, shown)
		}
		acres := shown / h.Boxes[0].truth.Counter
		left -= acres
		h.write(1, Read{h.begun + h.Boxes[0].truth.Reading(), piece}, acres/h.pace*60)
		h.mind()
	}
}

// mind the boxes: look, weigh, fill, note.
func (h *Honest) mind() {
	for i, b := range h.Boxes {
		full := b.Bushels * b.pounds * Pound
		if h.d.Chance(0.15) {
			h.write(2, Looked{i, b.truth.Look(h.d, full)}, 1)
		}
		if b.truth.Seed < full*h.d.Flat(0.15, 0.4) {
			h.fill(i)
		}
	}
	if h.d.Chance(0.05) {
		h.write(h.d.Whole(0, 2), Noted{"looked at the rows: good"}, 1)
	}
}

// evening: what is left is weighed or let out, and bags are counted.
func (h *Honest) evening() {
	for i, b := range h.Boxes {
		switch {
		case h.d.Chance(0.3):
			h.write(1, Weighed{i, b.truth.Weigh(h.d)}, 10)
		case h.d.Chance(0.5):
			h.write(1, Drained{i, b.truth.Weigh(h.d)}, 10)
		}
	}
	h.bags(0.85)
}
