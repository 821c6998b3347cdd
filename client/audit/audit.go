// Package audit writes a farm's record as a file that a stranger can check
// without turnrow, and checks such files. AUDIT.md, beside this file, says how
// with nothing but SHA-256 and Ed25519.
//
// The file is lines of JSON. The first says which farm it is of. Then, for each
// device, a line names its public key, and a line for each of its entries in
// order holds the very bytes that were written, the chain's hash after them
// and, where one was kept, the device's signature over that hash. Every
// signature vouches for all of its device's entries before it. What else an
// entry's line says (who, when, what, in words) is for reading only: it is
// worked out from the bytes, and Check works it out again. The last line holds
// the SHA-256 of all lines before it, which tells a torn file from a whole one.
package audit

import (
	"encoding/hex"
	"encoding/json"
	"errors"
)

// Version is the first word of a file, which a reader of another version can
// tell from its own.
const Version = "turnrow audit 1"

// ErrFile reports a file that is no audit file, or a torn one.
var ErrFile = errors.New("not a whole audit file")

// header is the first line.
type header struct {
	Audit string `json:"audit"`
	Farm  string `json:"farm"`
	Name  string `json:"name"`
	Made  string `json:"made"`
	How   string `json:"how_to_check"`
}

const how = "h(0) = SHA-256('turnrow log 1' 00 farm device); h(n) = SHA-256('turnrow entry 1' 00 h(n-1) bytes); " +
	"signature = Ed25519 by key over 'turnrow signature 1' 00 h(n). See AUDIT.md."

// deviceLine begins the lines of one device, or of a branch: where a device
// went on from an old copy of itself, and so wrote two logs, each goes on after
// the entry that both have last in common.
type deviceLine struct {
	Device    string `json:"device"`
	Name      string `json:"device_name"`
	Key       octets `json:"key"`
	After     uint64 `json:"after,omitempty"`
	AfterHash octets `json:"after_hash,omitempty"`
}

// entryLine is one entry.
type entryLine struct {
	Device    string `json:"device"`
	Seq       uint64 `json:"seq"`
	Bytes     octets `json:"bytes"`
	Hash      octets `json:"hash"`
	Signature octets `json:"signature,omitempty"`
	reading
}

// reading is an entry in words, for reading only.
type reading struct {
	Wall   string `json:"wall"`
	Person string `json:"person"`
	Kind   string `json:"kind"`
	What   string `json:"what"`
}

// endLine is the last line.
type endLine struct {
	Entries uint64 `json:"entries"`
	SHA256  octets `json:"sha256"`
}

// octets are bytes, in hexadecimal.
type octets []byte

// MarshalJSON writes lower-case hexadecimal.
func (o octets) MarshalJSON() ([]byte, error) { return json.Marshal(hex.EncodeToString(o)) }

// UnmarshalJSON reads hexadecimal.
func (o *octets) UnmarshalJSON(text []byte) error {
	var s string
	if err := json.Unmarshal(text, &s); err != nil {
		return err
	}
	b, err := hex.DecodeString(s)
	*o = b
	return err
}
