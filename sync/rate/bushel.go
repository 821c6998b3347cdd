package rate

import (
	"fmt"
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
	return b.Mass.Format(units.US) + "/bu (" + b.Source.String() + ")"
}

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
// where nobody, or not that authority, says what a bushel weighs.
func (s Species) BushelWeight(authority string) (BushelWeight, error) {
	var known []string
	for _, b := range s.BushelWeights() {
		if strings.Contains(strings.ToLower(b.Source.Publisher), strings.ToLower(authority)) {
			return b, nil
		}
		known = append(known, b.Source.Publisher)
	}
	if len(known) == 0 {
		return BushelWeight{}, fmt.Errorf("no published bushel weight for %s: give the rate as a mass, such as 23 lb/ac", s.Name)
	}
	return BushelWeight{}, fmt.Errorf("no bushel weight for %s by %q (known: %s)", s.Name, authority, strings.Join(known, ", "))
}
