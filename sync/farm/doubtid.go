package farm

import (
	"crypto/sha256"
	"encoding/hex"
)

// doubtDigits is how many digits name a doubt: among the few hundred that a
// farm may have in a year, two are alike once in some 100,000 years.
const doubtDigits = 8

// ID names the doubt, the same on every replica: it comes from its kind and
// the entries behind it. A doubt that a further entry joins is another doubt.
func (d Doubt) ID() string {
	sum := sha256.Sum256([]byte(doubtKey(string(d.Kind), d.Entries)))
	return hex.EncodeToString(sum[:])[:doubtDigits]
}
