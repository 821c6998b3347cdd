package farm_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
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
	if got := b.Mark(0, b.Dial); got != message.Text("1-2") {
		t.Errorf("the dial is shown as %s, want 1-2", got)
	}
	if l, _ := c.own.state.Line(moved); l.What.String() != `noted(dial-from-to(box(grain), "1-1", "1-2"), "plan")` {
		t.Errorf("the log says %s", l.What)
	}
	c.own.write(&entry.DialMarked{Box: c.grain})
	if b, _ := c.own.state.View().BoxOf(c.grain); b.Mark(0, b.Dial) != message.Decimal(b.Dial) || b.Dial != 2000 {
		t.Errorf("with numbers again the dial is shown as %s, want 2", b.Mark(0, b.Dial))
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
	if got := b.Mark(2, 1500); got.String() != `mark.between("a", "B")` {
		t.Errorf("half a mark is %s", got)
	}
	if got := b.Mark(2, 4000); got.String() != "mark.none(4)" {
		t.Errorf("beyond the marks is %s", got)
	}
}

// Every mark reads back as its place, and every place is shown as its mark.
func TestMarksReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		marks := rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9-]{1,4}`), 1, 30, rapid.ID[string]).Draw(t, "marks")
		b := &farm.Box{Marks: []farm.DialMarks{{Marks: marks}}}
		i := rapid.IntRange(0, len(marks)-1).Draw(t, "place")
		d, err := b.ReadDial(0, marks[i])
		if err != nil || d != farm.MarkedDial(i) || b.Mark(0, d) != message.Text(marks[i]) {
			t.Fatalf("mark %q of %q: %v, %v, shown as %s", marks[i], marks, d, err, b.Mark(0, d))
		}
	})
}
