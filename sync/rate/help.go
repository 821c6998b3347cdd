package rate

import (
	"math"

	"turnrow/sync/units"
)

// Action is what would make a rate better known.
type Action string

// The actions.
const (
	RepeatCatch Action = "repeat the catch"
	TurnLonger  Action = "turn longer"
	DriveLonger Action = "drive further"
	MoreRows    Action = "catch more rows"
	CatchThere  Action = "catch at that dial"
)

// Help is what would help most to know a rate better.
type Help struct {
	Widest string  // the widest uncertainty, in words
	Next   Action  // what helps most
	Half   float64 // half of the 90 % interval as it is: 0.05 is ±5 %
	After  float64 // and what Next makes of it
}

// Help works out half of the interval anew for one more catch, for twice the
// turns and for twice the rows, and names what helps most. A setting at which
// nothing came has none.
func (c CatchRate) Help() Help {
	h := Help{Half: c.Half(), After: math.Inf(1), Widest: c.widest()}
	if c.Plugged {
		return h
	}
	try := func(a Action, p pooled, ok bool) {
		if s, _ := p.std(); ok && halfShare(s) < h.After {
			h.Next, h.After = a, halfShare(s)
		}
	}
	try(RepeatCatch, c.pool.again(), true)
	longer := TurnLonger
	if c.of[0].Distance != 0 {
		longer = DriveLonger
	}
	try(longer, c.pool.longer(2), true)
	wider, ok := c.pool.wider(2)
	try(MoreRows, wider, ok)
	return h
}

func (h Help) words() string {
	return string(h.Next) + ", which makes it ±" + percentHalf(h.After)
}

// again is the readings with one more like them, which rounds unlike them if
// repeats differ by as much as half a step of the scale.
func (p pooled) again() pooled {
	n, repeats := float64(p.n), p.repeats()
	one := p.rounding * float64(p.unlike) // variance of one reading's rounding
	if p.unlike > 1 || float64(4*repeats.Var) > float64(12*one) {
		p.rounding = float64(p.rounding * float64(p.unlike) / float64(p.unlike+1))
		p.unlike++
	}
	p.share = float64(p.share * n / (n + 1))
	p.turns = float64(p.turns * n / (n + 1))
	p.n++
	p.squares += repeats.Var // as far off as the others: only the degrees of freedom grow
	return p
}

// longer is the same readings over so many times the distance.
func (p pooled) longer(times float64) pooled {
	square := float64(times * times)
	p.turns, p.rounding = p.turns/square, p.rounding/square
	return p
}

// wider is the same readings from so many times the rows, or from all; there is
// none where all were caught.
func (p pooled) wider(times float64) (pooled, bool) {
	whole := 0.0
	for _, share := range p.profile.rows {
		whole += share
	}
	rows := float64(whole*whole) / p.profile.squares() // as many rows, each counting alike
	more := math.Round(rows * times)
	all := 0.0
	if p.profile.drill > 0 {
		more = math.Min(more, float64(p.profile.drill))
		all = 1 / float64(p.profile.drill)
	}
	if whole == 0 || more <= rows*(1+1e-9) {
		return p, false
	}
	p.rows.Var = float64(p.rows.Var * (1/more - all) / (1/rows - all))
	p.rounding = float64(p.rounding * float64(rows*rows) / float64(more*more))
	p.profile.rows = make([]float64, int(more))
	for i := range p.profile.rows {
		p.profile.rows[i] = whole / more
	}
	return p, true
}

// widest names the widest uncertainty.
func (c CatchRate) widest() string {
	d := c.Std
	words, most := "the roll", d.Roll
	for _, t := range []struct {
		size  float64
		words string
	}{{d.Repeats, repeatWords(c.Masses)}, {d.Turns, "the ends of the run"}, {d.Scale, "the scale's steps"}, {d.Rows, "the rows that were not caught"}} {
		if t.size > most {
			words, most = t.words, t.size
		}
	}
	return words
}

// repeatWords says what is known of how far catches differ.
func repeatWords(n int) string {
	if n == 1 {
		return "repeat catches (drills differ by 0.3 to 5.5 %; yours was caught once)"
	}
	return "repeat catches"
}

// Needs is what would bring a catch's 90 % interval to ±5 %.
type Needs struct {
	Enough   bool         // it is there already
	Catches  int          // in all, each as those made; 0 where no number will do
	Turns    units.Turns  // with the same rows; 0 where no number of turns will do
	Distance units.Length // the same for a distance
	Rows     int          // with the same turns; 0 where no number of rows will do
}

// mostNeeded and mostCatches are where advice ends: more turns, rows or catches
// than this help nobody.
const (
	mostNeeded  = 10_000
	mostCatches = 50
)

// Needs works out how many catches, or what turns (or distance), or what rows
// would bring the 90 % interval to ±5 %, all else as in this catch. It fails
// where Rate does.
func (c Catch) Needs() (Needs, error) {
	r, err := c.Rate()
	if err != nil {
		return Needs{}, err
	}
	return r.Needs(), nil
}

// Needs is what would bring the interval to ±5 %.
func (c CatchRate) Needs() Needs {
	n := Needs{Enough: c.Half() <= GoWithin && !c.Plugged}
	if c.Plugged {
		return n
	}
	enough := func(p pooled) bool { s, _ := p.std(); return halfShare(s) <= GoWithin }
	for p := c.pool; p.n <= mostCatches && n.Catches == 0; p = p.again() {
		if enough(p) {
			n.Catches = p.n
		}
	}
	run := c.of[0].Run
	if run.Distance != 0 {
		if metres := leastWhole(run.Distance.Metres(), func(x float64) bool { return enough(c.pool.longer(x / run.Distance.Metres())) }); metres > 0 {
			n.Distance = units.Length(metres * 1e6)
		}
	} else {
		n.Turns = units.Turns(leastWhole(run.Turns.Float(), func(x float64) bool { return enough(c.pool.longer(x / run.Turns.Float())) }) * 1000)
	}
	if rows := float64(len(c.of[0].rows())); rows > 0 {
		n.Rows = int(leastWhole(rows, func(x float64) bool {
			p, ok := c.pool.wider(x / rows)
			return ok && enough(p) && (p.profile.drill == 0 || x <= float64(p.profile.drill))
		}))
	}
	return n
}

// leastWhole is the least whole number above from, up to mostNeeded, at which
// something that comes true once is true; 0 where it never is.
func leastWhole(from float64, enough func(float64) bool) float64 {
	low, high := math.Ceil(from), math.Ceil(from)
	for !enough(high) {
		if low, high = high, math.Ceil(high*1.25); high > mostNeeded {
			return 0
		}
	}
	for high-low > 1 {
		if middle := math.Floor((low + high) / 2); enough(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// Advice says in plain words how good a catch is and what would help it most.
func (c Catch) Advice(system units.System) (string, error) {
	r, err := c.Rate()
	if err != nil {
		return "", err
	}
	return r.Advice(system), nil
}

// Advice says in plain words how good catches are, what the widest uncertainty is and
// what would help most; or to look at the meter where nothing came.
func (c CatchRate) Advice(system units.System) string {
	if c.Plugged {
		return "nothing came: the rate is 0 (less than " + c.High.Format(system) + "). Look for what plugs the meter, or a box that is empty or shut"
	}
	text := c.Rate.Format(system) + ", nine in ten " + Between(c.Low, c.High, system) + " (±" + percentHalf(c.Half()) + ")"
	if c.Half() <= GoWithin {
		return text
	}
	h := c.Help()
	return text + ". Widest doubt: " + h.Widest + ". To know it better, " + h.words()
}

// help is Help for a dial.
func (f Fit) help(d units.Dial) Help {
	_, s := f.at(d.Float())
	h := Help{Half: halfShare(s), After: math.Inf(1)}
	try := func(a Action, g Fit, ok bool) {
		if !ok {
			return
		}
		_, s := g.at(d.Float())
		if half := halfShare(s); half < h.After {
			h.Next, h.After = a, half
		}
	}
	near, g := f.caughtAgain(d)
	if near {
		try(RepeatCatch, g, true)
	} else {
		try(CatchThere, g, true)
	}
	if len(f.settings) == 0 {
		return h
	}
	g, ok := f.with(func(p pooled) (pooled, bool) { return p.longer(2), true })
	try(TurnLonger, g, ok)
	g, ok = f.with(func(p pooled) (pooled, bool) { return p.wider(2) })
	try(MoreRows, g, ok)
	return h
}

// with is the fit with every pool changed.
func (f Fit) with(change func(pooled) (pooled, bool)) (Fit, bool) {
	list := append([]setting(nil), f.settings...)
	ok := false
	for i := range list {
		var changed bool
		if list[i].stated.Var == 0 {
			list[i].pool, changed = change(list[i].pool)
		}
		ok = ok || changed
	}
	return f.refitted(list), ok
}

// refitted is the fit through other settings.
func (f Fit) refitted(list []setting) Fit {
	f.settings = list
	f.fit(f.row)
	return f
}

// caughtAgain is the fit with one more catch at a dial, as the last one was
// made, and whether seed was caught near there before.
func (f Fit) caughtAgain(d units.Dial) (near bool, g Fit) {
	list := append([]setting(nil), f.settings...)
	x := f.x(d.Float())
	nearest := 0
	for i, s := range list {
		if math.Abs(s.x-x) < math.Abs(list[nearest].x-x) {
			nearest = i
		}
	}
	s := list[nearest]
	if math.Abs(s.x-x) <= ln(1+GoWithin) && s.stated.Var == 0 {
		list[nearest].pool = s.pool.again()
		return true, f.refitted(list)
	}
	s.pool.log, _ = f.line.at(x)
	s.pool.turns, s.pool.rounding = s.pool.turns/s.pool.share, float64(s.pool.rounding*float64(s.pool.unlike))
	s.x, s.lot, s.extra, s.stated = x, "", 0, Spread{}
	s.pool.n, s.pool.unlike, s.pool.share, s.pool.squares = 1, 1, 1, 0
	return false, f.refitted(append(list, s))
}
