package rate

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
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

// SpeciesNames lists the names that FindSpecies knows, in small letters: the
// table's own, then other names that crews use, then the Latin ones.
func SpeciesNames() []string {
	var own, latin []string
	for _, s := range catalogue {
		own, latin = append(own, strings.ToLower(s.Name)), append(latin, strings.ToLower(s.Latin))
	}
	return slices.Concat(own, slices.Sorted(maps.Keys(otherNames)), latin)
}

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

// AllFigures gives every published figure of the species, in the table's order.
func (s Species) AllFigures() []Figure { return slices.Clone(s.figures) }
