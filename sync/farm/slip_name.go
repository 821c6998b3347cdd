package farm

import (
	"slices"
	"strings"
	"unicode"

	"turnrow/sync/entry"
)

// How like two names are asked about: a word of so many letters may be one slip
// apart, one of so many more two. Shorter words, and names that differ in a
// number or a single letter, are names of their own, such as O-1 and O-2.
const (
	oneSlipLetters  = 5
	twoSlipsLetters = 9
)

// nameSlips finds things of a kind whose names are so like that the later one
// may be a misspelling, made by somebody who knew of the first.
func (s *State) nameSlips() []slip {
	var out []slip
	for _, k := range []thingKind{ground, drill, box, lot} {
		ts := s.sorted(k)
		names := make([]nameParts, len(ts))
		for i, t := range ts {
			names[i] = partsOf(t.text(nameField(k)))
		}
		for j, b := range ts {
			for i, a := range ts[:j] {
				if names[i].like(names[j]) && s.sameDrill(a, b) && b.made.knew(a.made) {
					out = append(out, s.nameSlip(a, b))
				}
			}
		}
	}
	return out
}

func (s *State) nameSlip(a, b *thing) slip {
	first, second := a.text(nameField(a.kind)), b.text(nameField(b.kind))
	return slip{
		finding: finding{NearName, a.kind.String() + " " + second, []*rec{a.made, b.made}}, field: "name",
		says: func() slipWords {
			return slipWords{
				why:     "there is a " + a.kind.String() + " " + first + " already: " + second + " would be another one",
				written: "two, " + first + " and " + second,
				instead: []meant{{text: "one, " + first, one: a.id, body: named(a.kind, a.id, first)}},
			}
		},
	}
}

// named is what gives a thing a name.
func named(k thingKind, id entry.ID, name string) entry.Body {
	switch n := entry.Some(name); k {
	case ground:
		return &entry.GroundSet{Ground: id, Name: n}
	case drill:
		return &entry.DrillSet{Drill: id, Name: n}
	case box:
		return &entry.BoxSet{Box: id, Name: n}
	default:
		return &entry.LotSet{Lot: id, Name: n}
	}
}

// nameParts is a name in words and numbers, in small letters.
type nameParts struct {
	words   []string
	numbers string // and single letters, in their order
	joined  string
}

func partsOf(name string) (p nameParts) {
	kind := func(r rune) int {
		switch {
		case unicode.IsLetter(r):
			return 1
		case unicode.IsDigit(r):
			return 2
		}
		return 0
	}
	runes := []rune(strings.ToLower(name))
	for i := 0; i < len(runes); {
		j := i + 1
		for j < len(runes) && kind(runes[j]) == kind(runes[i]) {
			j++
		}
		switch part := string(runes[i:j]); {
		case kind(runes[i]) == 0:
		case kind(runes[i]) == 2 || j == i+1:
			p.numbers += part + " "
		default:
			p.words = append(p.words, part)
		}
		i = j
	}
	p.joined = strings.Join(p.words, "")
	return p
}

// like says whether two names may be one, one of them misspelt.
func (p nameParts) like(o nameParts) bool {
	if p.numbers != o.numbers {
		return false
	}
	if p.joined == o.joined || len(p.words) != len(o.words) {
		return p.joined == o.joined && p.joined != "" || p.joined == "" && o.joined == "" && p.numbers != ""
	}
	slips := 0
	for i := range p.words {
		switch n := editsBetween(p.words[i], o.words[i]); {
		case n == 0:
		case n <= slipsIn(min(len(p.words[i]), len(o.words[i]))):
			slips++
		default:
			return false
		}
	}
	return slips == 1
}

func slipsIn(letters int) int {
	switch {
	case letters >= twoSlipsLetters:
		return 2
	case letters >= oneSlipLetters:
		return 1
	}
	return 0
}

// editsBetween is how many letters were put in, left out, changed or swapped with the
// next between two words (the restricted distance of Damerau, Communications of
// the ACM 7(3), 1964).
func editsBetween(a, b string) int {
	from, to := []rune(a), []rune(b)
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

// joinsThings says whether a settlement says that things are one, and which
// they are then.
func joinsThings(b *entry.Settled) bool {
	oneOf := len(b.Stands) == 1 && slices.Contains(b.Entries, b.Stands[0])
	return oneOf && (b.Doubt == string(SameName) || b.Doubt == string(NearName) && b.Choice == entry.Instead)
}
