package rate

import (
	"math"

	"turnrow/sync/units"
)

// setting is readings at one dial of one lot.
type setting struct {
	dial     units.Dial
	x        float64 // natural logarithm of the chart's rate there
	pool     pooled
	stated   Spread  // where the uncertainty was given with the rate
	lot      string  // another lot
	extra    float64 // variance from its being another lot
	spread   Spread  // of its mean, without what all settings share
	readings []reading
}

// settingsOf brings sorted readings together by dial and lot. Rates whose uncertainty
// was given with them each stand alone.
func settingsOf(rs []reading) []setting {
	var list []setting
	for from := 0; from < len(rs); {
		to := from + 1
		for to < len(rs) && rs[from].stated.Var == 0 && rs[to].stated.Var == 0 && rs[to].x == rs[from].x && rs[to].lot == rs[from].lot {
			to++
		}
		list = append(list, setting{dial: rs[from].dial, x: rs[from].x, pool: poolReadings(rs[from:to]), stated: rs[from].stated,
			lot: rs[from].lot, readings: rs[from:to]})
		from = to
	}
	spreadLots(list)
	return list
}

// spreadLots gives settings of other lots what lots differ by. Two settings of
// one other lot are off by the same: each gets as much more, so that their mean
// keeps it whole.
func spreadLots(list []setting) {
	for i := range list {
		for j := range list {
			if list[i].lot != "" && list[j].lot == list[i].lot {
				list[i].extra += otherLotSpread * otherLotSpread
			}
		}
	}
}

// logLine is how the logarithms of what a box gives lie beside those of its
// chart: y − x = level + bend × (x − middle).
type logLine struct {
	level, bend, middle float64
	levelSpread         Spread // without what all settings share
	bendSpread          Spread
	repeats             Spread    // of one catch about its setting's truth
	parts               []float64 // what each setting counts for in the level
	fallen              bool      // the catches have the rate fall where it should rise
}

// logLineOf fits the line by least squares, each setting counting by its
// inverse variance, and draws the bend towards none by its prior variance,
// which gives way where the catches are far from it.
func logLineOf(list []setting, prior float64) logLine {
	l := logLine{repeats: repeatsOf(list), parts: make([]float64, len(list))}
	l.fit(list, prior)
	more, ok := l.scatter(list)
	if ok {
		l.repeats = more
	}
	if widened := l.widenStated(list); ok || widened {
		l.fit(list, prior)
	}
	return l
}

// repeatsOf pools the repeats of all settings.
func repeatsOf(list []setting) Spread {
	squares, k := ownOf(list)
	return pool(repeatWeight, repeatSpread*repeatSpread, squares, k)
}

// ownOf adds up the squares of repeats and how many are their own.
func ownOf(list []setting) (squares, k float64) {
	for _, s := range list {
		if s.stated.Var == 0 {
			squares += s.pool.squares
			k += float64(s.pool.n - 1)
		}
	}
	return squares, k
}

// fit works out level, bend and their spreads for the repeats as they are.
func (l *logLine) fit(list []setting, prior float64) {
	whole := 0.0
	for i := range list {
		list[i].spread = list[i].own(l.repeats)
		l.parts[i] = 1 / list[i].spread.Var
		whole += l.parts[i]
	}
	l.middle, l.level = 0, 0
	for i, s := range list {
		l.parts[i] /= whole
		l.middle += float64(l.parts[i] * s.x)
	}
	for i, s := range list {
		l.level += float64(l.parts[i] * (s.pool.log - s.x))
	}
	l.levelSpread = l.mixed(list, l.parts)
	l.fitBend(list, prior)
}

// fitBend works out the bend from settings at different dials.
func (l *logLine) fitBend(list []setting, prior float64) {
	l.bend, l.bendSpread, l.fallen = 0, Spread{prior, Known}, false
	slope, shares, ok := l.slope(list)
	if !ok {
		return
	}
	own := l.mixed(list, shares)
	prior = yield(prior, slope, own.Var)
	l.bendSpread = own.shrunk(prior)
	l.bend = float64(slope*prior) / (prior + own.Var)
	if l.bend <= -1 {
		l.bend, l.bendSpread, l.fallen = 0, Spread{prior, Known}, true
	}
}

// slope is the bend by least squares alone, and what each setting counts for
// in it. There is none where all settings are at one dial.
func (l *logLine) slope(list []setting) (slope float64, shares []float64, ok bool) {
	squares := 0.0
	shares = make([]float64, len(list))
	for i, s := range list {
		shares[i] = float64(l.parts[i] * (s.x - l.middle))
		squares += float64(shares[i] * (s.x - l.middle))
	}
	if !(squares > 1e-12) {
		return 0, nil, false
	}
	for i, s := range list {
		shares[i] /= squares
		slope += float64(shares[i] * (s.pool.log - s.x - l.level))
	}
	return slope, shares, true
}

// mixed is the spread of a sum in which each setting counts for a share. What
// repeats differ by is one figure for all settings, so it keeps its degrees of
// freedom.
func (l *logLine) mixed(list []setting, shares []float64) Spread {
	repeats, rest, stated := 0.0, 0.0, Spread{0, Known}
	for i, s := range list {
		square := float64(shares[i] * shares[i])
		rest += float64(square * s.extra)
		if s.stated.Var > 0 {
			stated = sumOf(stated, s.stated.Times(shares[i]))
			continue
		}
		repeats += float64(square * s.pool.share)
		rest += float64(square * (s.pool.turns + s.pool.rounding))
	}
	return sumOf(l.repeats.Times(math.Sqrt(repeats)), Spread{rest, Known}, stated)
}

// own is the spread of a setting's mean without what all settings share.
func (s setting) own(repeats Spread) Spread {
	if s.stated.Var > 0 {
		return sumOf(s.stated, Spread{s.extra, Known})
	}
	return sumOf(s.pool.own(repeats), Spread{s.extra, Known})
}

// scatter lets what three settings or more of one's own lot leave beside the
// line count as repeats do.
func (l *logLine) scatter(list []setting) (Spread, bool) {
	slope, _, ok := l.slope(list)
	squares, k := ownOf(list)
	beside, n := 0.0, 0.0
	for _, s := range list {
		if s.stated.Var > 0 || s.extra > 0 {
			continue
		}
		left := s.pool.log - s.x - l.level - float64(slope*(s.x-l.middle))
		beside += (float64(left*left) - s.pool.turns - s.pool.rounding) / s.pool.share
		n++
	}
	if !ok || n < 3 {
		return Spread{}, false
	}
	squares += math.Max(0, float64(beside*(n-2))/n)
	return pool(repeatWeight, repeatSpread*repeatSpread, squares, k+n-2), true
}

// widenStated widens uncertainties that were stated, where the rates they were stated
// with lie further apart than they allow (Birge, Physical Review 40, 1932):
// where their mean square is more than twice what it should be, as in pool.
func (l *logLine) widenStated(list []setting) bool {
	slope, _, ok := l.slope(list)
	squares, k := 0.0, -1.0
	if ok {
		k--
	}
	for _, s := range list {
		if s.stated.Var > 0 {
			left := s.pool.log - s.x - l.level - float64(slope*(s.x-l.middle))
			squares += float64(left*left) / s.spread.Var
			k++
		}
	}
	if k < 1 || squares <= 2*k {
		return false
	}
	for i := range list {
		if list[i].stated.Var > 0 {
			list[i].stated = Spread{float64(list[i].stated.Var*squares) / k, k}
		}
	}
	return true
}

// at is the logarithm of the rate that the line has at x, and its spread
// without what all settings share.
func (l *logLine) at(x float64) (float64, Spread) {
	off := x - l.middle
	return x + l.level + float64(l.bend*off), sumOf(l.levelSpread, l.bendSpread.Times(off))
}
