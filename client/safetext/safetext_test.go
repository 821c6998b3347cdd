package safetext_test

import (
	"errors"
	"testing"

	"turnrow/client/safetext"
	"turnrow/sync/entry"
)

func TestCheck(t *testing.T) {
	for _, text := range []string{"", "two\nlines\tand a tab", "½ ac, Jänner, مرحبا"} {
		if err := safetext.Check(text); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
	for _, char := range []rune{0x1b, 0x9b, 0, 7, '\r', 0x7f, 0x202e, 0x2066, 0x2028} {
		var bad *safetext.Error
		if err := safetext.Check("x" + string(char)); !errors.As(err, &bad) || bad.Char != char {
			t.Errorf("%U: %v", char, err)
		}
	}
}

// Texts are found wherever in a body they stand.
func TestCheckBody(t *testing.T) {
	const bad = "hose\x1b[2J"
	for _, b := range []entry.Body{
		&entry.HoldRaised{Why: bad},
		&entry.GroundSet{Name: entry.Some(bad)},
		&entry.BoxSet{Sides: []string{"left", bad}},
		&entry.ChecksSet{Items: []entry.CheckItem{{Name: "jack"}, {Name: bad}}},
		&entry.Amended{Body: &entry.Filled{Note: bad}},
	} {
		if safetext.CheckBody(b) == nil {
			t.Errorf("%T lets it through", b)
		}
	}
	if err := safetext.CheckBody(&entry.Amended{Why: "dry", Body: &entry.Filled{Note: "wet"}}); err != nil {
		t.Error(err)
	}
}

func TestLines(t *testing.T) {
	if got, want := safetext.Lines("a\x1b\nb\r\n\tc"), "a\\u001b\nb\\u000d\n\tc"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
