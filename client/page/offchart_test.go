package page_test

import (
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// A catch off the chart by more than both are in doubt by is told on the box's
// card; one that a chart may well be off by is not.
func TestACardTellsThatTheCatchesLieOffTheChart(t *testing.T) {
	const says = "what the chart says: they count. Check chart, units, turns and rows."
	for g, want := range map[units.Mass]string{70_000: "The catches show 4", 126_000: ""} {
		d := serve(t, found(t, ""), page.Options{})
		b := box(t, d.handset, "grain").ID
		o1 := lot(t, d.handset, "O-1").ID
		record(t, d.handset, &entry.Filled{Box: b, Lot: o1, Bags: 2000},
			&entry.Caught{Box: b, Lot: o1, Dial: 30_000, Turns: 20_000, Rows: 4, Masses: []units.Mass{g}, Way: entry.Standing})
		for _, at := range []string{"/", "/box/" + b.String()} {
			body := d.get(at)
			if strings.Contains(body, says) != (want != "") || !strings.Contains(body, want) {
				i := max(0, strings.Index(body, "The catches show"))
				t.Errorf("%d mg on %s: %.200s", g, at, body[i:])
			}
		}
	}
}
