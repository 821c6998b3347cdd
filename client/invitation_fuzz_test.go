package client_test

import (
	"errors"
	"testing"

	"turnrow/client"
)

// FuzzInvite reads whatever text as an invite and as an address: nothing
// panics, what is none gives ErrAddress, and what is one reads back from its
// own text as the same.
func FuzzInvite(f *testing.F) {
	const pin = "pin=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA"
	f.Add("turnrow://farm.example:7867/?" + pin)
	f.Add("turnrow://[::1]:7867/?code=AAAA")
	f.Add("turnrow://127.0.0.1:7867/?clock=1z&device=AAECAwQFBgcICQoLDA0ODw&entry=3&farm=AAECAwQFBgcICQoLDA0ODw&name=Upper+Lea&person=Ben&" +
		pin + "&role=operator&secret=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA&until=1zz")
	f.Add("turnrow:///?clock=1&device=AAECAwQFBgcICQoLDA0ODw&entry=18446744073709551615&farm=AAECAwQFBgcICQoLDA0ODw&secret=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA&until=zzzzzzzzzzzz")
	f.Add("turnrow://%zz")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := client.ParseAddress(text)
		if err != nil && !errors.Is(err, client.ErrAddress) {
			t.Fatalf("address: %v", err)
		}
		if err == nil {
			if again, err := client.ParseAddress(a.String()); err != nil || again != a {
				t.Fatalf("%q is %+v, then %+v (%v)", text, a, again, err)
			}
		}
		i, err := client.ParseInvite(text)
		if err != nil {
			if !errors.Is(err, client.ErrAddress) {
				t.Fatalf("invite: %v", err)
			}
			return
		}
		if again, err := client.ParseInvite(i.String()); err != nil || again.String() != i.String() || again.Farm != i.Farm {
			t.Fatalf("%q is %+v, then %+v (%v)", text, i, again, err)
		}
	})
}

// FuzzPaper reads whatever text as a code on paper: nothing panics, what is none
// gives ErrAddress, and what is one reads back from its own text as the same.
func FuzzPaper(f *testing.F) {
	const farm = "farm=AAECAwQFBgcICQoLDA0ODw&name=Upper+Lea&"
	f.Add("turnrow:///?" + farm + "paper=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA")
	f.Add("turnrow://farm.example:7867/?" + farm + "paper=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA&pin=AQIDBAUGBwgJCgsMDQ4PEBESExQVFhcYGRobHB0eHyA")
	f.Add("turnrow:///?farm=AAEC&paper=AQ")
	f.Fuzz(func(t *testing.T, text string) {
		p, err := client.ParsePaper(text)
		if err != nil {
			if !errors.Is(err, client.ErrAddress) {
				t.Fatalf("%v", err)
			}
			return
		}
		if again, err := client.ParsePaper(p.String()); err != nil || again.String() != p.String() || again.Farm != p.Farm || again.FarmName != p.FarmName {
			t.Fatalf("%q is %+v, then %+v (%v)", text, p, again, err)
		}
	})
}
