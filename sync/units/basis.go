package units

import "strings"

// basis is what seed a mass, or a rate by mass, says that it is of.
type basis int

const (
	unsaid basis = iota
	liveSeed
	bulkSeed
)

// basisWords are how people say it beside a unit, without spaces; longer ones
// before those that they end in.
var basisWords = []struct {
	word string
	says basis
}{
	{"ofpureliveseed", liveSeed}, {"pureliveseed", liveSeed}, {"ofliveseed", liveSeed}, {"liveseed", liveSeed},
	{"ofpls", liveSeed}, {"pls", liveSeed}, {"live", liveSeed},
	{"ofbulkseed", bulkSeed}, {"bulkseed", bulkSeed}, {"bulk", bulkSeed}, {"ofseed", unsaid}, {"seed", unsaid},
}

// takeBasis parts "lbpls" into the unit and what seed it is of.
func takeBasis(name string) (unit string, says basis) {
	for _, w := range basisWords {
		if rest, ok := strings.CutSuffix(name, w.word); ok && rest != "" {
			return rest, w.says
		}
		if rest, ok := strings.CutPrefix(name, w.word); ok && rest != "" {
			return rest, w.says
		}
	}
	return name, unsaid
}

// checkBasis refuses live seed where bulk seed is wanted, and the other way
// round: between them lies the live share, which no text here tells.
func (r *reader) checkBasis() *Error {
	switch {
	case r.says == liveSeed && !r.live:
		e := r.fail("is pure live seed, of which the bulk seed that carries it holds only a part"+
			" (bulk = live ÷ live share)", ErrUnit)
		e.Quantity += " of bulk seed"
		return e
	case r.says == bulkSeed && r.live:
		e := r.fail("is bulk seed, of which only a part is live (live = bulk × live share)", ErrUnit)
		e.Quantity += " of live seed"
		return e
	}
	return nil
}
