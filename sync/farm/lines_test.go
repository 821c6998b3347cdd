package farm_test

import (
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// What the log tells of an entry has the counter's reading that its writer gave
// with it, and none where there was none: who looks why a fill counts before a
// stretch of work sees it there.
func TestLinesTellTheCounter(t *testing.T) {
	c := twelveBushels(t)
	at := entry.Some(units.Reading(2_500))
	plain := c.own.write(c.pour(2, 0))
	for _, b := range []entry.Body{
		&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2000, Reading: at, Note: "last of the pallet"},
		&entry.VolumeFilled{Box: c.grain, Lot: c.oat, Volume: 35_239, Reading: at},
		&entry.Drained{Box: c.grain, All: true, Reading: at},
		&entry.LevelRead{Box: c.grain, Share: entry.Some(units.Share(50_000)), Reading: at},
		&entry.DialMoved{Box: c.grain, To: 30_000, Why: "chart", Reading: at},
		&entry.Caught{Box: c.grain, Lot: c.oat, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{130_000}, Way: entry.Standing, Reading: at},
	} {
		l, _ := c.own.state.Line(c.own.write(b))
		what := l.What
		if what.ID == "noted" {
			what = what.Args[0].(message.Message)
		}
		if what.ID != "counter-at" || what.Args[1] != message.Decimal(at.Val) || strings.Count(l.What.String(), "counter") != 1 {
			t.Errorf("%s: %s", b.Kind(), l.What)
		}
	}
	if l, _ := c.own.state.Line(plain); strings.Contains(l.What.String(), "counter") {
		t.Errorf("without a reading: %s", l.What)
	}
}
