package auth_test

import (
	"errors"
	"testing"

	"turnrow/sync/exchange"
)

// FuzzFoundingCode offers a server whatever codes: nothing panics, and only the
// one that it gave counts.
func FuzzFoundingCode(f *testing.F) {
	id, _ := made(f)
	code, err := id.FoundingCode(noon)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(code)
	f.Add("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")
	f.Add("")
	f.Fuzz(func(t *testing.T, text string) {
		switch _, err := id.CheckCode(text, noon); {
		case err == nil && text != code:
			t.Fatalf("%q counts", text)
		case err != nil && !errors.Is(err, exchange.ErrFounding):
			t.Fatalf("%q: %v", text, err)
		}
	})
}
