// Package nearest finds, among the names that are known, those that somebody
// may have meant by one that is not.
package nearest

import (
	"cmp"
	"slices"
	"strings"
)

// most is how many names a hint lists: more are not read.
const most = 3

// longest bounds the runes of a text that are compared, so that a hint for a
// pasted page costs no more than one for a name.
const longest = 80

// Names are up to three of the known names, nearest first: by the edits from
// the one to the other in any letter case, or from a word of the other, or by
// one being the other's beginning. Where nothing is near, none.
func Names(wanted string, known []string) []string {
	type near struct {
		name string
		far  int
	}
	wanted = fold(wanted)
	reach := max(2, len([]rune(wanted))/3)
	var list []near
	for _, name := range known {
		if far := distance(wanted, fold(name)); far <= reach {
			list = append(list, near{name, far})
		}
	}
	slices.SortStableFunc(list, func(a, b near) int { return cmp.Compare(a.far, b.far) })
	var names []string
	for _, n := range list[:min(most, len(list))] {
		names = append(names, n.name)
	}
	return names
}

// Hint is the end of an error about an unknown name: what may have been meant,
// or what is known where nothing is near. What says what there is, in the
// plural, such as "boxes".
func Hint(wanted, what string, known []string) string {
	const listed = 8
	if names := Names(wanted, known); len(names) > 0 {
		return "nearest: " + strings.Join(names, ", ")
	}
	switch n := len(known); {
	case n == 0:
		return "there are no " + what + " yet"
	case n > listed:
		return "the " + what + " are " + strings.Join(known[:listed], ", ") + " and others"
	}
	return "the " + what + " are " + strings.Join(known, ", ")
}

func fold(s string) string {
	r := []rune(strings.Join(strings.Fields(strings.ToLower(s)), " "))
	return string(r[:min(longest, len(r))])
}

func distance(wanted, name string) int {
	if len(wanted) > 1 && strings.HasPrefix(name, wanted) {
		return 1
	}
	far := edits(wanted, name)
	for _, word := range strings.Fields(name) {
		far = min(far, edits(wanted, word)+1)
	}
	return far
}

// edits is the Levenshtein distance: letters put in, left out or changed.
func edits(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i := range from {
		left := row[0]
		row[0] = i + 1
		for j := range to {
			same := left
			if from[i] != to[j] {
				same++
			}
			left = row[j+1]
			row[j+1] = min(same, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(to)]
}
