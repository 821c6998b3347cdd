package rate

import "math"

// pooled is readings at one setting, taken together.
type pooled struct {
	rate   float64 // their weighted mean, g/m²
	log    float64 // its natural logarithm
	n      int
	unlike int // of n, how many readings differ from one another

	squares  float64 // of the repeats' own, beyond what is known of each
	share    float64 // sum of the squares of what each counts for: 1 ÷ n
	turns    float64 // variance of the mean from the ends of the runs
	rounding float64 // the same from the scale
	profile  profile
	rows     Spread // the same from the rows
}

// poolReadings takes readings at one setting together, one or more, each
// counting by what is known of how it was made. Readings that are equal round
// alike, so the scale's part shrinks only with those that differ.
func poolReadings(rs []reading) pooled {
	p := pooled{n: len(rs)}
	whole := 0.0
	for _, r := range rs {
		whole += r.weight()
	}
	for _, r := range rs {
		p.rate += float64(r.weight() / whole * r.rate)
	}
	p.log = ln(p.rate)
	for i, r := range rs {
		w := r.weight() / whole
		square := float64(w * w)
		p.share += square
		p.turns += float64(square * r.turns)
		p.rounding += float64(square * r.rounding)
		p.profile.add(r, w)
		if i == 0 || r.grams != rs[i-1].grams || r.area != rs[i-1].area {
			p.unlike++
		}
	}
	p.rounding = float64(p.rounding * float64(len(rs)) / float64(p.unlike))
	p.squares = ownSquares(rs, p)
	return p
}

// ownSquares is how far repeats lie from their mean, in squares, beyond what
// their ends, the scale and the rows explain.
func ownSquares(rs []reading, p pooled) float64 {
	n := float64(len(rs))
	squares, explained := 0.0, 0.0
	for _, r := range rs {
		off := r.rate/p.rate - 1
		squares += float64(off * off)
		explained += float64(r.known() * (1 - 1/n))
		if len(r.rows) > 0 {
			explained += float64(rowSpread * rowSpread / float64(len(r.rows)))
		}
	}
	explained -= float64(n * rowSpread * rowSpread * p.profile.squares())
	return math.Max(0, squares-math.Max(0, explained))
}

// repeats is the variance of one catch about the truth of its setting, as the
// catches at this setting alone show it.
func (p pooled) repeats() Spread {
	return pool(repeatWeight, repeatSpread*repeatSpread, p.squares, float64(p.n-1))
}

// own is what does not carry over from one setting to another, for a variance
// of one catch.
func (p pooled) own(repeats Spread) Spread {
	return sumOf(repeats.Times(math.Sqrt(p.share)), Spread{p.turns, Known}, Spread{p.rounding, Known})
}

// std adds all terms.
func (p pooled) std() (Spread, StdTerms) {
	repeats := p.repeats()
	s := sumOf(p.own(repeats), p.rows, known(rollSpread))
	return s, StdTerms{Repeats: math.Sqrt(float64(p.share * repeats.Var)), Turns: math.Sqrt(p.turns),
		Scale: math.Sqrt(p.rounding), Rows: math.Sqrt(p.rows.Var), Roll: rollSpread}
}

// profile is how much each row counts for in a mean, by its number.
type profile struct {
	rows  []float64 // of row 1, row 2 and so on
	drill int       // rows of the drill; 0 where not known
}

// add counts a reading in for a share w of a mean.
func (p *profile) add(r reading, w float64) {
	p.drill = max(p.drill, r.drill)
	for _, row := range r.rows {
		for len(p.rows) < row {
			p.rows = append(p.rows, 0)
		}
		p.rows[row-1] += w / float64(len(r.rows))
	}
}

func (p profile) squares() (sum float64) {
	for _, share := range p.rows {
		sum += float64(share * share)
	}
	return sum
}

// spread is the variance of the mean from the rows that are in it, for a
// variance of one row: the squares of their shares less what all rows of the
// drill would leave. k rows of N alike make it 1/k − 1/N.
func (p profile) spread(row Spread) Spread {
	whole := 0.0
	for _, share := range p.rows {
		whole += share
	}
	left := p.squares()
	if p.drill > 0 {
		left -= float64(whole*whole) / float64(p.drill)
	}
	return Spread{float64(row.Var * math.Max(0, left)), row.DF}
}

// rowVariance is the variance between the rows of a drill: the published one,
// which rows that were weighed singly take over.
func rowVariance(catches []Catch) Spread {
	var sum []float64
	var count []int
	for _, c := range catches {
		sum, count = c.addRows(sum, count)
	}
	var values []float64
	for i, n := range count {
		if n > 0 {
			values = append(values, sum[i]/float64(n))
		}
	}
	if len(values) < 2 {
		return Spread{rowSpread * rowSpread, rowWeight}
	}
	cv := sd(values) / mean(values)
	k := float64(len(values) - 1)
	return pool(rowWeight, rowSpread*rowSpread, float64(k*float64(cv*cv)), k)
}

// addRows adds up what each row gave beside the mean of its catch.
func (c Catch) addRows(sum []float64, count []int) ([]float64, []int) {
	whole := 0.0
	for _, m := range c.RowMasses {
		whole += m.Grams()
	}
	if whole == 0 {
		return sum, count
	}
	for i, row := range c.rows() {
		for len(sum) < row {
			sum, count = append(sum, 0), append(count, 0)
		}
		if i < len(c.RowMasses) {
			sum[row-1] += c.RowMasses[i].Grams() * float64(len(c.RowMasses)) / whole
			count[row-1]++
		}
	}
	return sum, count
}
