package page_test

import (
	"strings"
	"testing"

	"turnrow/client/page"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// A box that gives two species together says so, and that no chart tells its
// dial.
func TestAMixedBoxSaysSo(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "grain").ID
	const says = "Mixed: oat and red clover. No chart is of the mix"
	record(t, d.handset, &entry.Filled{Box: b, Lot: lot(t, d.handset, "O-1").ID, Bags: 2000})
	record(t, d.handset, &entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover")})
	second := record(t, d.handset, &entry.Filled{Box: b, Lot: lot(t, d.handset, "R-7").ID, Mass: 5_000_000})
	if body := d.get("/"); strings.Contains(body, says) {
		t.Error("mixed, before anybody said so")
	}
	record(t, d.handset, &entry.Settled{Doubt: string(farm.TwoSeeds), Entries: second, Choice: entry.Blended, Why: "stirred"})
	if body := d.get("/"); !strings.Contains(body, says) {
		t.Error("the card does not say that the seed is mixed")
	}
}

// Beyond chart and catches the curve is another line, with words of its own; a
// catch that the others make out to be a slip is drawn as set aside.
func TestTheCurveBeyondWhatIsKnown(t *testing.T) {
	d := serve(t, found(t, ""), page.Options{})
	b := box(t, d.handset, "grain").ID
	record(t, d.handset, &entry.Filled{Box: b, Lot: lot(t, d.handset, "O-1").ID, Bags: 2000})
	body := d.get("/box/" + b.String() + "/pictures") // the chart goes from 20 to 60, the dial from 0 to 100
	if !strings.Contains(body, `class="curve" d="`) || !strings.Contains(body, `class="beyond" d="`) || !strings.Contains(body, "beyond chart and catches") {
		t.Error("the curve does not show where it is only drawn on")
	}
	if strings.Contains(body, "set aside") {
		t.Error("something is set aside where nothing was caught")
	}
	record(t, d.handset, &entry.Caught{Box: b, Lot: lot(t, d.handset, "O-1").ID, Dial: 30_000, Turns: 20_000, Rows: 4,
		Masses: []units.Mass{126_000, 1_270_000, 125_000, 127_000}, Way: entry.Standing})
	if body := d.get("/box/" + b.String() + "/pictures"); !strings.Contains(body, "set aside as a slip") {
		t.Error("a mass that is set aside is not shown as such")
	}
}
