package conflict

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"turnrow/sync/entry"
	"turnrow/sync/message"
)

// doubtDigits is how many digits name a doubt: among the few hundred that a
// farm may have in a year, two are alike once in some 100,000 years.
const doubtDigits = 8

// ID names the doubt, the same on every replica: it comes from its kind and
// the entries behind it. A doubt that a further entry joins is another doubt.
func (d Doubt) ID() string {
	sum := sha256.Sum256([]byte(DoubtKey(string(d.Kind), d.Entries)))
	return hex.EncodeToString(sum[:])[:doubtDigits]
}

// DoubtKey tells doubts apart: the kind, and the entries in order of their IDs.
func DoubtKey(kind string, ids []entry.ID) string {
	ids = slices.Clone(ids)
	slices.SortFunc(ids, entry.ID.Compare)
	var b strings.Builder
	b.WriteString(kind)
	for _, id := range ids {
		b.WriteString(" " + id.String())
	}
	return b.String()
}

// Doubt is something that only a person can settle.
type Doubt struct {
	Kind    DoubtKind
	About   message.Message
	What    message.Message // what was written, by whom
	Why     message.Message // why it is unlikely, where it is about a slip; what it comes to, where it is about a balance
	Field   string          // of the last entry's body, that is unlikely, where it is about a slip
	Entries []entry.ID      // behind it, in order
	Of      []entry.ID      // the things that they set, and the entries that they amend
	Choices []Choice        // what may be said to stand
	Settled bool
	By      entry.ID // the settlement, where it is settled
}

// Choice is one way to settle a doubt.
type Choice struct {
	Word   string          // as a person picks it
	What   message.Message // what it comes to
	Stands []entry.ID      // for the settlement
	Say    string          // for the settlement: a word, where it is neither an entry nor a dial; entry.BeganAt wants a value beside it
	Value  entry.Opt[int64]
	Figure message.Message // Value, as people read it
	Of     entry.ID        // the entry that is given another body, or struck, with the settlement; zero where none is
	Body   entry.Body      // that it is given, nil to strike it; without Of, what is written with the settlement, if anything
	With   []entry.Body    // with Of: amendments of what other entries say alike
}
