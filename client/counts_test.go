package client_test

import (
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/client/words"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Whatever a person has no right to write, it is said who has; of what counts,
// nothing.
func TestItIsSaidWhoMayWriteWhat(t *testing.T) {
	anybodys := map[entry.Kind]bool{entry.KindHoldRaised: true, entry.KindFarmFounded: true, entry.KindDeviceEnrolled: true, entry.KindRecovered: true}
	for k := range entry.Kinds() {
		said := client.WhyNot(words.Line{Line: farm.Line{Kind: k, Needs: entry.Operator}, LeftOut: "no right"})
		if named := strings.HasPrefix(said, "only an operator or an owner "); named == anybodys[k] {
			t.Errorf("of %s it is said: %q", k, said)
		}
	}
	ada := open(t, t.TempDir())
	if _, err := ada.Found(within(t), client.FoundOptions{Farm: "Upper Lea", Owner: "Ada"}); err != nil {
		t.Fatal(err)
	}
	added, err := ada.Record(within(t), entry.ID{}, &entry.MemberAdded{Name: "Cal", Role: entry.Viewer})
	if err != nil {
		t.Fatal(err)
	}
	cal := added[0]
	for _, c := range []struct {
		body entry.Body
		want string
	}{
		{&entry.Noted{Text: "wet"}, "only a helper, an operator or an owner writes notes"},
		{&entry.ChecksSet{Version: 1, Items: []entry.CheckItem{{Name: "locks"}}}, "only an operator or an owner sets the checks"},
		{&entry.MemberAdded{Name: "Dot", Role: entry.Helper}, "only an owner adds people"},
	} {
		ids, err := ada.Record(within(t), cal, c.body)
		if err != nil {
			t.Fatal(err)
		}
		if l, _ := ada.Line(ids[0]); client.WhyNot(l) != c.want || l.LeftOut == "" {
			t.Errorf("%s: %q, want %q", l.What, client.WhyNot(l), c.want)
		}
	}
	if l, _ := ada.Line(cal); client.WhyNot(l) != "" {
		t.Errorf("%s counts, and it is said: %q", l.What, client.WhyNot(l))
	}
}
