package farm_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// A setting of a dial with marks is shown and read as the mark, in the log, in
// doubts and in the view.
func TestMarksOnADial(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMarked{Box: c.grain, Marks: []string{"1-1", "1-2", "2-1"}})
	moved := c.own.write(&entry.DialMoved{Box: c.grain, From: entry.Some(units.Dial(1000)), To: 2000, Why: "plan"})
	c.merge()
	b, _ := c.own.state.View().BoxOf(c.grain)
	if got := b.DialText(0, b.Dial); got != "1-2" {
		t.Errorf("the dial is shown as %q, want 1-2", got)
	}
	if l, _ := c.own.state.Line(moved); !strings.Contains(l.What, "from 1-1 to 1-2") {
		t.Errorf("the log says %q", l.What)
	}
	c.own.write(&entry.DialMarked{Box: c.grain})
	if b, _ := c.own.state.View().BoxOf(c.grain); b.DialText(0, b.Dial) != "2" {
		t.Errorf("with numbers again the dial is shown as %q, want 2", b.DialText(0, b.Dial))
	}
}

func TestReadDial(t *testing.T) {
	b := &farm.Box{Name: "grain", DialFrom: 60_000, DialTo: 0, Marks: []farm.DialMarks{{Side: 2, Marks: []string{"a", "B", "A"}}}}
	for _, c := range []struct {
		side int64
		text string
		want units.Dial
	}{{0, "42.5", 42_500}, {1, "60", 60_000}, {2, "a", 1000}, {2, " A ", 3000}, {2, "b", 2000}} {
		if got, err := b.ReadDial(c.side, c.text); err != nil || got != c.want {
			t.Errorf("side %d, %q: %v, %v; want %v", c.side, c.text, got, err, c.want)
		}
	}
	if _, err := b.ReadDial(0, "61"); err == nil || err.Error() != "dial 61: the dial of box grain goes from 60 to 0" {
		t.Errorf("61: %v", err)
	}
	_, err := b.ReadDial(2, "2")
	if !errors.Is(err, farm.ErrNoMark) || err.Error() != `dial "2": no such mark: the dial of box grain has the marks a, B, A` {
		t.Errorf("2 on a dial of letters: %v", err)
	}
	if got := b.DialText(2, 1500); got != "between a and B" {
		t.Errorf("half a mark is %q", got)
	}
	if got := b.DialText(2, 4000); got != "place 4, where there is no mark" {
		t.Errorf("beyond the marks is %q", got)
	}
}

// Every mark reads back as its place, and every place is shown as its mark.
func TestMarksReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		marks := rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9-]{1,4}`), 1, 30, rapid.ID[string]).Draw(t, "marks")
		b := &farm.Box{Marks: []farm.DialMarks{{Marks: marks}}}
		i := rapid.IntRange(0, len(marks)-1).Draw(t, "place")
		d, err := b.ReadDial(0, marks[i])
		if err != nil || d != farm.MarkedDial(i) || b.DialText(0, d) != marks[i] {
			t.Fatalf("mark %q of %q: %v, %v, shown as %q", marks[i], marks, d, err, b.DialText(0, d))
		}
	})
}
