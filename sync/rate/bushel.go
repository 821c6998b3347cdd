package rate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"turnrow/sync/units"
)

// BushelWeight is what a bushel of a seed weighs, and who says so.
type BushelWeight struct {
	Mass   units.Mass
	Source Source
	Legal  bool // a state's law, rather than an extension table
}

// String tells the weight and its authority.
func (b BushelWeight) String() string {
	if b.Source == (Source{}) {
		return b.Mass.Format(units.US) + "/bu (as written)"
	}
	return b.Mass.Format(units.US) + "/bu (" + b.Source.String() + ")"
}

// bushelsDiffer is how far apart published bushel weights of a species may lie,
// as a fraction of the least, for the first of them to be used unasked. States
// differ by 4 % (buckwheat: 50 lb in Indiana, 48 in Iowa), as lots do; tall
// fescue's differ by a factor of 2.3 (14 lb in Missouri, 32 in Ohio), and to
// pick one would be a guess.
const bushelsDiffer = 0.10

// bushelKinds are the bushel weights in the table, laws first.
var bushelKinds = []string{"legal_bushel_weight", "legal_bushel_weight (clover seed)", "bushel_weight"}

// BushelWeights gives every published bushel weight of a species, laws before
// extension tables. The first is the one that turnrow uses.
func (s Species) BushelWeights() []BushelWeight {
	var list []BushelWeight
	for _, kind := range bushelKinds {
		for _, f := range s.Figures(kind) {
			pounds, _, ok := f.Range()
			mass, err := units.MassFromPounds(pounds)
			if ok && err == nil {
				list = append(list, BushelWeight{Mass: mass, Source: f.Source, Legal: kind != "bushel_weight"})
			}
		}
	}
	return list
}

// BushelWeight gives the bushel weight by an authority ("Iowa", "Indiana",
// "Missouri"), or by the first that has one where authority is empty. It fails
// where nobody, or not that authority, says what a bushel weighs, and where
// authority is empty and those that say it differ by more than 10 %.
func (s Species) BushelWeight(authority string) (BushelWeight, error) {
	var known []string
	list := s.BushelWeights()
	for _, b := range list {
		if authority != "" && strings.Contains(strings.ToLower(b.Source.Publisher), strings.ToLower(authority)) {
			return b, nil
		}
		known = append(known, b.Mass.Format(units.US)+" by "+b.Source.Publisher)
	}
	switch {
	case len(known) == 0:
		return BushelWeight{}, fmt.Errorf("no bushel weight of %s was published", s.Name)
	case authority != "":
		return BushelWeight{}, fmt.Errorf("no bushel weight for %s by %q (known: %s)", s.Name, authority, strings.Join(known, ", "))
	case bushelsApart(list):
		return BushelWeight{}, fmt.Errorf("bushel weights of %s differ (%s), so none is taken unasked", s.Name, strings.Join(known, ", "))
	}
	return list[0], nil
}

func bushelsApart(list []BushelWeight) bool {
	byMass := func(a, b BushelWeight) int { return cmp.Compare(a.Mass, b.Mass) }
	least, most := slices.MinFunc(list, byMass).Mass, slices.MaxFunc(list, byMass).Mass
	return float64(most-least) > bushelsDiffer*float64(least)
}
