package rate

import "math"

// Spread is how far the natural logarithm of a figure may lie from the truth:
// its variance and how many degrees of freedom that variance rests on, 1 or
// more, or Known.
type Spread struct {
	Var, DF float64
}

// known is the spread of a standard deviation that is taken as known.
func known(sd float64) Spread { return Spread{float64(sd * sd), Known} }

// Times returns the spread of k times the logarithm: each part of a sum that
// counts for a share k of it.
func (s Spread) Times(k float64) Spread { return Spread{float64(s.Var * float64(k*k)), s.DF} }

// sumOf adds spreads that do not depend on one another. The degrees of freedom
// are those of Welch and Satterthwaite (the GUM, JCGM 100:2008, G.4.1).
func sumOf(spreads ...Spread) Spread {
	variance, share := 0.0, 0.0
	for _, s := range spreads {
		variance += s.Var
		share += float64(s.Var*s.Var) / s.DF
	}
	if variance == 0 {
		return Spread{0, Known}
	}
	return Spread{variance, math.Min(Known, float64(variance*variance)/share)}
}

// half returns half the width of the interval at level (0.9 for 90 %), on the
// logarithm: Student's t times the standard deviation.
func (s Spread) half(level float64) float64 {
	if s.Var == 0 {
		return 0
	}
	return float64(twoSidedT(level, s.DF) * math.Sqrt(s.Var))
}

// pool lets k squares of one's own that sum to ss take over from a guess of the
// variance worth n of them. Where one's own mean square is more than twice the
// guess, the guess counts for so much less. It returns the variance and its
// degrees of freedom. The weighted mean of two variances is the posterior of a
// scaled inverse chi-square guess (Gelman and others, Bayesian Data Analysis,
// 2.6); giving way to a far reading is our own.
func pool(n, guess, ss, k float64) Spread {
	if k > 0 && ss/k > 2*guess {
		n = float64(n*2*guess*k) / ss
	}
	return Spread{(float64(n*guess) + ss) / (n + k), n + k}
}

// yield returns the variance of a guess that is seen to be off by d where the
// rest allows a variance of u: beyond two spreads the guess gives way.
func yield(v, d, u float64) float64 {
	square := float64(d*d) / (v + u)
	far := math.Max(1, square/4)
	return float64(v * float64(far*far))
}

// shrunk is the spread of a mean of spread u drawn towards a guess of variance
// v: the two joined by inverse variance. The guess has no uncertainty of its own
// size, so the degrees of freedom grow as the guess counts for more.
func (u Spread) shrunk(v float64) Spread {
	whole := v + u.Var
	if math.IsInf(v, 1) {
		return u
	}
	ratio := whole / v
	return Spread{float64(u.Var*v) / whole, math.Min(Known, float64(u.DF*float64(ratio*ratio)))}
}
