package rule

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
)

// Every kind has its row in the table of rules, under its own number.
func TestEveryKindHasItsRow(t *testing.T) {
	for k := range entry.Kinds() {
		if rules[k].edits == 0 {
			t.Errorf("no row in rules.go says what holds for %s", k)
		} else if rules[k].kind != k {
			t.Errorf("the row of %s in rules.go is for bodies of %s", k, rules[k].kind)
		}
	}
}

// namer is an entry.Fields that gives each reference an ID of its own, and keeps
// what it gave; it puts one item into each list.
type namer struct{ given []entry.ID }

func (n *namer) Ref(_ int, v *entry.ID) {
	*v = entry.ID{Log: entry.LogID{1}, Seq: uint64(len(n.given) + 1)}
	n.given = append(n.given, *v)
}

func (n *namer) Refs(num int, v *[]entry.ID) {
	*v = make([]entry.ID, 2)
	n.Ref(num, &(*v)[0])
	n.Ref(num, &(*v)[1])
}

func (n *namer) Group(_, _ int, grow func(), item func(int, entry.Fields)) {
	grow()
	item(0, n)
}

func (n *namer) Body(_ int, b entry.Body) entry.Body     { return b }
func (n *namer) Int(int, *int64)                         {}
func (n *namer) Uint(int, *uint64)                       {}
func (n *namer) Text(int, *string)                       {}
func (n *namer) Bytes(int, *[]byte)                      {}
func (n *namer) OptInt(int, *bool, *int64)               {}
func (n *namer) OptText(int, *bool, *string)             {}
func (n *namer) Ints(int, int, func(), func(int) *int64) {}
func (n *namer) Texts(int, *[]string)                    {}

// Every reference of every kind is in the kind's row, in the order of the
// fields: what a body names is either checked, or said to be anything.
func TestRowsNameEveryReference(t *testing.T) {
	for k := range entry.Kinds() {
		b, n := entry.New(k), namer{}
		b.Fields(&n)
		var got []entry.ID
		if refs := ruleOf(k).refs; refs != nil {
			for _, r := range refs(b, nil) {
				got = append(got, r.id)
			}
		}
		if !slices.Equal(got, n.given) {
			t.Errorf("the row of %s names %v, and its fields are %v", k, got, n.given)
		}
	}
}

// A body that could not be read has a known kind's number, and none of its
// fields: it names nothing and makes nothing.
func TestUnreadBodiesAreTakenForNothing(t *testing.T) {
	var s Rules
	for k := range entry.Kind(entry.LastKind + 10) {
		b := &entry.Unknown{Num: k, Why: "torn"}
		if _, ok := Makes(b); ok || len(About(b)) > 0 || !s.Fits(b) {
			t.Errorf("of number %d more is taken than was read", k)
		}
	}
}
