package client

import (
	"crypto/ed25519"
	"crypto/rand"

	"turnrow/sync/entry"
)

// Paper is the code on paper by which a lost farm is recovered: whoever has it
// has the farm. It is printed once and kept on no device.
type Paper struct {
	Server   Address // of the farm's server; empty where it has none
	Farm     entry.FarmID
	FarmName string // to show
	secret   ed25519.PrivateKey
}

// String is the code as ParsePaper reads it.
func (p Paper) String() string {
	q := p.Server.values()
	q.Set("farm", b64(p.Farm[:]))
	q.Set("name", p.FarmName)
	q.Set("paper", b64(p.secret.Seed()))
	return link(p.Server.Host, q)
}

// ParsePaper reads a code on paper. ErrAddress says what is wrong.
func ParsePaper(text string) (Paper, error) {
	u, err := parseLink(text, isPaper)
	if err != nil {
		return Paper{}, err
	}
	f := fields{q: u.Query()}
	p := Paper{FarmName: f.q.Get("name")}
	p.Server, err = address(u, false)
	f.note(err)
	p.Farm = entry.FarmID(f.bytes("farm", 16))
	p.secret = ed25519.NewKeyFromSeed(f.bytes("paper", ed25519.SeedSize))
	return p, f.err
}

func newPaper() (secret ed25519.PrivateKey, key entry.Key, err error) {
	pub, secret, err := ed25519.GenerateKey(rand.Reader)
	return secret, entry.Key(pub), err
}
