package client_test

import (
	"errors"
	"strings"
	"testing"

	"turnrow/client"
)

// A code on paper is kept for years: one that was printed by this version is read
// by all that follow.
func TestCodesOnPaperAreReadForEver(t *testing.T) {
	const (
		farm = "farm=AAECAwQFhgeICQoLDA0ODw&name=Long+Bench&paper=AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8"
		pin  = "&pin=ICEiIyQlJicoKSorLC0uLzAxMjM0NTY3ODk6Ozw9Pj8"
	)
	for host, text := range map[string]string{"": "turnrow:///?" + farm, "house.example:7415": "turnrow://house.example:7415/?" + farm + pin} {
		p, err := client.ParsePaper(text)
		if err != nil || p.FarmName != "Long Bench" || p.Farm.String() != "00010203-0405-8607-8809-0a0b0c0d0e0f" || p.Server.Host != host {
			t.Errorf("%s: %+v, %v", text, p, err)
		}
		if p.String() != text {
			t.Errorf("%s is written as %s", text, p)
		}
	}
	for _, wrong := range []string{"", "turnrow:///?farm=AAECAwQFhgeICQoLDA0ODw", "turnrow:///?" + strings.Replace(farm, "paper=A", "paper=", 1)} {
		if _, err := client.ParsePaper(wrong); !errors.Is(err, client.ErrAddress) {
			t.Errorf("%q: error %v", wrong, err)
		}
	}
}
