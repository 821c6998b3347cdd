package rate

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turnrow/sync/units"
)

// ErrUnknownSpecies is returned for a name that the built-in table lacks.
var ErrUnknownSpecies = errors.New("unknown species")

// Source is where a published figure comes from.
type Source struct{ Title, Publisher, Year, Address string }

// String gives the publisher and the title.
func (s Source) String() string { return s.Publisher + ", " + s.Title }

// Figure is one published figure about a species, as it was published.
type Figure struct {
	Kind, Value, Unit string
	Source            Source
}

// Range reads the figure as a range of numbers: "15-20" is 15 to 20, "up to 1"
// is 0 to 1, "14" is 14 to 14. ok is false where it is no plain range.
func (f Figure) Range() (low, high float64, ok bool) {
	text := f.Value
	for _, limit := range []string{"up to ", "no deeper than "} {
		if rest, found := strings.CutPrefix(text, limit); found {
			text = "0-" + rest
		}
	}
	text, _, _ = strings.Cut(text, " (mean ")
	from, to, ranged := strings.Cut(text, "-")
	if !ranged {
		to = from
	}
	low, err := strconv.ParseFloat(from, 64)
	if err != nil {
		return 0, 0, false
	}
	high, err = strconv.ParseFloat(to, 64)
	return low, high, err == nil
}

// Species is a plant in the built-in table, with every figure published about
// it that was read. What a bag's own tag says always stands above these.
type Species struct {
	Name, Latin string
	figures     []Figure
}

//go:embed species.csv
var speciesTable string

// catalogue is the built-in table in the order of its first mentions.
var catalogue = readSpecies(speciesTable)

// readSpecies reads the embedded table. It panics on a broken one, which no
// build that passed its tests can hold.
func readSpecies(table string) []Species {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("built-in species table: " + err.Error())
	}
	var list []Species
	at := make(map[string]int)
	for _, row := range rows[1:] {
		i, known := at[row[0]]
		if !known {
			i = len(list)
			at[row[0]] = i
			list = append(list, Species{Name: row[0], Latin: row[1]})
		}
		list[i].figures = append(list[i].figures, Figure{Kind: row[2], Value: row[3], Unit: row[4],
			Source: Source{Title: row[5], Publisher: row[6], Year: row[7], Address: row[8]}})
	}
	return list
}

// AllSpecies lists the built-in species.
func AllSpecies() []Species { return slices.Clone(catalogue) }

// otherNames are names that crews use for what the table calls otherwise.
var otherNames = map[string]string{
	"wheat": "wheat, common", "winter wheat": "wheat, common", "common wheat": "wheat, common",
	"oats": "oat", "rye": "cereal rye", "winter rye": "cereal rye", "grain rye": "cereal rye",
	"fescue": "tall fescue", "bluegrass": "kentucky bluegrass", "brome": "smooth brome",
	"smooth bromegrass": "smooth brome", "reed canary": "reed canarygrass", "trefoil": "birdsfoot trefoil",
	"italian ryegrass": "annual ryegrass", "sweetclover": "yellow sweetclover", "rape": "rape, winter",
	"lucerne": "alfalfa", "orchard grass": "orchardgrass", "cocksfoot": "orchardgrass", "sudan": "sudangrass",
	"peas": "field pea", "vetch": "hairy vetch", "ladino": "ladino clover", "white dutch clover": "white clover",
	"medium red clover": "red clover", "turnips": "turnip", "radishes": "radish",
}

// FindSpecies looks a species up by its common or Latin name, in any letter
// case, a few other names included. An unknown name is an ErrUnknownSpecies
// that lists the nearest ones.
func FindSpecies(name string) (Species, error) {
	wanted := strings.Join(strings.Fields(strings.ToLower(name)), " ")
	if other, ok := otherNames[wanted]; ok {
		wanted = other
	}
	for _, s := range catalogue {
		if strings.ToLower(s.Name) == wanted || strings.ToLower(s.Latin) == wanted {
			return s, nil
		}
	}
	return Species{}, fmt.Errorf("%w %q; nearest: %s", ErrUnknownSpecies, name, strings.Join(nearestSpecies(wanted, 3), ", "))
}

// nearestSpecies gives the names that take the fewest edits to reach, names
// that share a whole word with the wanted one first.
func nearestSpecies(wanted string, most int) []string {
	type near struct {
		name  string
		edits int
	}
	var list []near
	for _, s := range catalogue {
		lower := strings.ToLower(s.Name)
		d := edits(wanted, lower)
		for _, word := range strings.Fields(lower) {
			d = min(d, edits(wanted, word))
		}
		list = append(list, near{s.Name, d})
	}
	slices.SortStableFunc(list, func(a, b near) int { return a.edits - b.edits })
	var names []string
	for _, n := range list[:most] {
		names = append(names, n.name)
	}
	return names
}

// edits is the Levenshtein distance between two texts, a few hundred bytes of
// the first at most.
func edits(a, b string) int {
	a = a[:min(len(a), 200)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// Figures gives the published figures of a kind, such as
// "germination_final_count", in the table's order.
func (s Species) Figures(kind string) []Figure {
	var list []Figure
	for _, f := range s.figures {
		if f.Kind == kind {
			list = append(list, f)
		}
	}
	return list
}

// legumeGenera are the genera of the bean family that the table holds.
var legumeGenera = []string{"Trifolium", "Medicago", "Melilotus", "Lotus", "Kummerowia",
	"Lespedeza", "Vicia", "Onobrychis", "Pisum", "Crotalaria"}

// IsLegume reports whether the species belongs to the bean family.
func (s Species) IsLegume() bool {
	genus, _, _ := strings.Cut(s.Latin, " ")
	return slices.Contains(legumeGenera, genus)
}

// MayHoldHardSeed reports whether hard seed is looked for in its germination
// test (7 CFR 201.58, Table 2).
func (s Species) MayHoldHardSeed() bool {
	for _, f := range s.Figures("hard_seed_may_be_present") {
		if f.Value == "yes" {
			return true
		}
	}
	return false
}

// SeedCount is how many seeds of a species there are to the pound: the figure
// that turnrow uses, where it is from, and how far others differ.
type SeedCount struct {
	Size      SeedSize
	PerPound  float64
	Source    Source
	Low, High float64 // the least and the greatest published, to the pound
}

// String tells the figure, its source and the spread.
func (c SeedCount) String() string {
	spread := ""
	if c.Low < c.High {
		spread = fmt.Sprintf("; published from %s to %s", figure(c.Low, 4), figure(c.High, 4))
	}
	return fmt.Sprintf("%s seeds/lb (%s%s)", figure(c.PerPound, 7), c.Source.Publisher, spread)
}

// countKinds are the seed counts that the table holds: to the pound as
// published, and worked out from seeds to the gram.
var countKinds = []string{"seeds_per_lb", "seeds_per_lb (from seeds/g x 453.59237)"}

// countTrust is the order in which turnrow uses what publishers say: USDA's
// plant database, then the seed act's table (in seeds to the gram, rounded),
// then state extension in the table's own order.
var countTrust = []string{"USDA NRCS", "USDA Agricultural Marketing Service"}

// SeedCount gives the published seed count of a species; ok is false where the
// table has none. A published range counts by its middle.
func (s Species) SeedCount() (c SeedCount, ok bool) {
	best := len(countTrust) + 1
	for _, kind := range countKinds {
		for _, f := range s.Figures(kind) {
			low, high, plain := f.Range()
			if !plain {
				continue
			}
			if best > len(countTrust) {
				c.Low, c.High = low, high
			}
			c.Low, c.High = min(c.Low, low), max(c.High, high)
			if trust := trustIn(f.Source); trust < best {
				best, c.PerPound, c.Source = trust, (low+high)/2, f.Source
			}
		}
	}
	c.Size = SeedSize(c.PerPound / gramsPerPound)
	return c, c.PerPound > 0
}

// trustIn is the place of a source in countTrust, or the one after its end.
func trustIn(s Source) int {
	if i := slices.Index(countTrust, s.Publisher); i >= 0 {
		return i
	}
	return len(countTrust)
}

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
