package rate

import (
	"slices"
	"strings"
)

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
