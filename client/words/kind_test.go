package words

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// declaredKind is a kind of doubt as the core declares it.
var declaredKind = regexp.MustCompile(`(?m)^\t\w+ +DoubtKind = "([a-z-]+)"`)

// Every kind of doubt is declared once and stands among the slips where it is
// declared as one; of the others only the counter that went back is asked about
// before it is written. Each has plain words of its own, and says where to look,
// and the catalogue has none besides.
func TestEveryDoubtHasWords(t *testing.T) {
	src, err := os.ReadFile("../../sync/farm/conflict/kind.go")
	if err != nil {
		t.Fatal(err)
	}
	plain, slips, ok := strings.Cut(string(src), "// The kinds of slips.")
	if !ok {
		t.Fatal("kind.go does not say where the slips begin")
	}
	said, n := map[string]farm.DoubtKind{}, 0
	for part, slip := range map[string]bool{plain: false, slips: true} {
		for _, m := range declaredKind.FindAllStringSubmatch(part, -1) {
			n++
			k := farm.DoubtKind(m[1])
			if k.IsSlip() != (slip || k == farm.CounterBack) {
				t.Errorf("%s is a slip: %t", k, k.IsSlip())
			}
			if w := Kind(k); strings.Contains(w, "-") || said[w] != "" {
				t.Errorf("%s is called %q, as is %q", k, w, said[w])
			} else {
				said[w] = k
			}
			if Look(k) == "" {
				t.Errorf("%s does not say where to look", k)
			}
		}
	}
	words, looks := 0, 0
	for key := range english {
		if strings.HasPrefix(key, "doubt.") {
			words++
		}
		if strings.HasPrefix(key, "look.") {
			looks++
		}
	}
	if n < 40 || len(said) != n || words != n || looks != n {
		t.Errorf("%d kinds are declared, %d have words of their own, the catalogue names %d and says of %d where to look", n, len(said), words, looks)
	}
}

// A text is told by its arguments, in the reader's units, and what is missing in
// a catalogue is told as data: nothing is left out.
func TestText(t *testing.T) {
	mass := message.MassAs(45_359_237, units.InPounds)
	for _, c := range []struct {
		m                message.Message
		inPounds, inKilo string
	}{
		{message.Message{}, "", ""},
		{message.Of("bags", message.Decimal(int64(1000))), "1 bag", "1 bag"},
		{message.Of("bags", message.Decimal(int64(2500))), "2.5 bags", "2.5 bags"},
		{message.Of("minutes", message.Whole(1)), "a minute", "a minute"},
		{message.Of("minutes", message.Whole(12)), "12 minutes", "12 minutes"},
		{message.Of("noted", message.Of("finished", message.Name{Name: "bench"}), message.Text("100 % of it")), "bench is finished (100 % of it)", "bench is finished (100 % of it)"},
		{message.List(message.Semicolons, message.Of("seen"), message.Of("hold")), "seen; HOLD", "seen; HOLD"},
		{message.Of("value", mass), "100 lb", "100 lb"}, // as it was written
		{message.Of("value", message.Mass(45_359_237)), "100 lb", "45.36 kg"},
		{message.Of("value", message.Caught(45_000, 0)), "45 g", "45 g"},
		{message.Of("value", message.TermOf("role", "operator")), "operator", "operator"},
		{message.Of("of-a-later-version", mass, message.Text("x")), `of-a-later-version(45.359237 kg, "x")`, `of-a-later-version(45.359237 kg, "x")`},
	} {
		if us, metric := English(units.US).Text(c.m), English(units.Metric).Text(c.m); us != c.inPounds || metric != c.inKilo {
			t.Errorf("%s: %q and %q, want %q and %q", c.m, us, metric, c.inPounds, c.inKilo)
		}
	}
}
