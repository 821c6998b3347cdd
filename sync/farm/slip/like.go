package slip

import (
	"slices"
	"strings"
	"unicode"
)

// How like two names are asked about is decided here alone, for things and for
// species. Names are compared word by word, and one word may be misspelt.
// Names that differ in a number, in a single letter or in a whole word are
// names of their own: O-1 and O-2, field A and field B, hill east and hill west.
const (
	// A word of so many letters or more may have one letter wrong: shorter words
	// that differ in a letter are mostly other words (hill, hall, mill; east, west).
	wrongLetters = 5
	// It may have two wrong from here on, where hardly any two words are so near.
	twoWrongLetters = 9
	// From so many letters on, a letter may be left out or swapped with the next
	// after the first one (hil, hlil, bech), which seldom makes another word; the
	// first one is hardly ever mistyped (top and stop are two words).
	lostLetters = 3
)

// plurals are endings that make no other name.
var plurals = []string{"s", "es"}

// lookAlikes are the figures that are taken for letters.
var lookAlikes = strings.NewReplacer("0", "o", "1", "l")

// ownWords are words of a farm that another of them is a letter away from: two
// of them are never one that is misspelt.
var ownWords = []string{"back", "black", "bar", "barn", "bend", "blend", "cow", "crow",
	"pond", "pound", "red", "reed", "west", "wet"}

// articles say nothing of which one it is, where there is more to a name: the
// bench is the bench. A lone letter a is a name's number, such as in field A.
var articles = []string{"the", "an"}

// nameParts is a name in words and numbers, in small letters and without
// articles.
type nameParts struct {
	words   []string
	numbers string // and single letters, in their order
	joined  string // the words
	looks   string // all of it, in letters and figures that cannot be mistaken
}

// A name's runes are letters, figures, or what parts words.
const (
	parting = iota
	letter
	figure
)

func runeKind(r rune) int {
	switch {
	case unicode.IsLetter(r):
		return letter
	case unicode.IsDigit(r):
		return figure
	}
	return parting
}

func partsOf(name string) (p nameParts) {
	runes := []rune(withoutArticles(strings.ToLower(name)))
	all := ""
	for i := 0; i < len(runes); {
		j := i + 1
		for j < len(runes) && runeKind(runes[j]) == runeKind(runes[i]) {
			j++
		}
		part := string(runes[i:j])
		switch kind := runeKind(runes[i]); {
		case kind == parting:
			part = ""
		case kind == figure || j == i+1 || isRoman(part):
			p.numbers += part + " "
		default:
			p.words = append(p.words, part)
		}
		all += part
		i = j
	}
	p.joined, p.looks = strings.Join(p.words, ""), lookAlikes.Replace(all)
	return p
}

// withoutArticles leaves the articles of a name out, unless that is all of it.
func withoutArticles(name string) string {
	words := strings.Fields(name)
	rest := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(articles, w) })
	if len(rest) == 0 {
		rest = words
	}
	return strings.Join(rest, " ")
}

// isRoman says whether a word is a number such as ii or viii.
func isRoman(word string) bool { return strings.Trim(word, "ivx") == "" }

// like says whether two names may be one, one of them misspelt.
func (p nameParts) like(o nameParts) bool {
	switch {
	case p.looks == o.looks:
		return p.looks != ""
	case p.joined == o.joined && p.numbers == o.numbers: // in another order
		return true
	case p.numbers != o.numbers || len(p.words) != len(o.words):
		return false
	}
	slips := 0
	for i, word := range p.words {
		switch {
		case word == o.words[i]:
		case misspelt(word, o.words[i]):
			slips++
		default:
			return false
		}
	}
	return slips == 1
}

// misspelt says whether two words that differ may be one.
func misspelt(a, b string) bool {
	from, to := []rune(a), []rune(b)
	if len(from) > len(to) {
		a, b, from, to = b, a, to, from
	}
	if len(from) < lostLetters || slices.Contains(ownWords, a) && slices.Contains(ownWords, b) {
		return false
	}
	for _, end := range plurals {
		if a+end == b {
			return true
		}
	}
	switch n := editsBetween(from, to); {
	case n == 1 && len(from) >= wrongLetters, n == 2 && len(from) >= twoWrongLetters:
		return true
	default:
		return n == 1 && from[0] == to[0] && (len(from) < len(to) || isSwapped(from, to))
	}
}

// isSwapped says whether two words have the same letters, two of them in the
// other order.
func isSwapped(from, to []rune) bool {
	wrong := 0
	for i := range from {
		if from[i] != to[i] {
			wrong++
		}
	}
	return wrong == 2
}

// editsBetween is how many letters were put in, left out, changed or swapped with the
// next between two words (the restricted distance of Damerau, Communications of
// the ACM 7(3), 1964).
func editsBetween(from, to []rune) int {
	before, last, now := make([]int, len(to)+1), make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range now {
		now[j] = j
	}
	for i := range from {
		before, last, now = last, now, before
		now[0] = i + 1
		for j := range to {
			same := last[j]
			if from[i] != to[j] {
				same++
			}
			now[j+1] = min(same, last[j+1]+1, now[j]+1)
			if i > 0 && j > 0 && from[i] == to[j-1] && from[i-1] == to[j] {
				now[j+1] = min(now[j+1], before[j-1]+1)
			}
		}
	}
	return now[len(to)]
}
