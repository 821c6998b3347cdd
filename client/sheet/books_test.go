package sheet_test

import (
	"bytes"
	"strings"
	"testing"

	"turnrow/client/sheet"
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// splitCrew is a drill with a box in two halves, each with a dial of its own,
// and a lot of clover with a price.
func splitCrew(t *testing.T) (b *crew, drill, box, lot, ground entry.ID) {
	b = newCrew(t)
	drill = b.Write(0, &entry.DrillSet{Name: entry.Some("drill"), Rows: entry.Some(int64(16)), Spacing: entry.Some(units.Length(190_500)),
		Roll: entry.Some(units.Length(2_489_200)), Counter: entry.CountsAcres})
	box = b.Write(0, &entry.BoxSet{Drill: drill, Name: entry.Some("legume"), Sides: []string{"left", "right"}, RowsFed: []int64{8, 8}, OwnDials: entry.Some(int64(1)),
		DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(100_000))})
	lot = b.Write(0, &entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover"), Bag: entry.Some(lb("50 lb")), Price: entry.Some(units.Money(11800))})
	ground = b.Write(0, &entry.GroundSet{Name: entry.Some("bench"), Area: entry.Some(areaOf("10 ac"))})
	return b, drill, box, lot, ground
}

func (c *crew) day() *sheet.Document {
	return c.sheet("2026-09-14", "2026-09-14", units.US).DaySheet()
}

// What was poured by the cup stands among the fills, with what it weighs.
func TestFillsByTheMeasureAreAmongTheFills(t *testing.T) {
	b, _, box, lot, _ := splitCrew(t)
	b.Write(0, &entry.VolumeWeighed{Lot: lot, Volume: 237, Mass: lb("0.4 lb")})
	b.Write(0, &entry.Filled{Box: box, Side: 1, Lot: lot, Mass: lb("6 lb")})
	b.Write(0, &entry.VolumeFilled{Box: box, Side: 2, Lot: lot, Volume: 6 * 237})
	doc := b.day()
	if got := strings.Join(column(t, doc, "fills", "As written"), "|"); got != "|6.01 cups" && got != "|6 cups" {
		t.Errorf("measures %q", got)
	}
	if got := strings.Join(column(t, doc, "fills", "Seed, lb"), "|"); got != "6.00|2.40" {
		t.Errorf("masses %q", got)
	}
}

// A box whose sides have their own dials has a row for each.
func TestEachSideStandsByItsOwnDial(t *testing.T) {
	b, _, box, lot, _ := splitCrew(t)
	b.Write(0, &entry.Filled{Box: box, Side: 1, Lot: lot, Mass: lb("12 lb")})
	b.Write(0, &entry.Filled{Box: box, Side: 2, Lot: lot, Mass: lb("20 lb")})
	b.Write(0, &entry.DialMoved{Box: box, Side: 1, To: 18_000, Why: "chart"})
	b.Write(0, &entry.DialMoved{Box: box, Side: 2, To: 24_000, Why: "chart"})
	doc := b.day()
	for head, want := range map[string]string{"Side": "left|right", "Dial": "18|24", "Left, lb": "12.0|20.0", "Holds": "12 lb of R-7|20 lb of R-7"} {
		if got := strings.Join(column(t, doc, "boxes", head), "|"); got != want {
			t.Errorf("%s: %q, want %q", head, got, want)
		}
	}
}

// Seed that went out at no known rate is not known, and not none: in what went
// where, in the accounts of box and lot, in the money and in the trace.
func TestSeedAtNoKnownRateIsNotNone(t *testing.T) {
	b, drill, box, lot, ground := splitCrew(t)
	b.Write(0, &entry.BagsIn{Lot: lot, Bags: 2000})
	b.Write(0, &entry.CounterStood{Drill: drill, Reading: 0})
	b.Write(0, &entry.Filled{Box: box, Lot: lot, Mass: lb("48 lb")})
	b.Write(0, &entry.MeterRead{Drill: drill, Reading: 2000, Ground: ground})
	check := func(doc *sheet.Document, table string, heads ...string) {
		t.Helper()
		for _, head := range heads {
			if got := column(t, doc, table, head); got[len(got)-1] != "not known" {
				t.Errorf("%s, %s: %q", table, head, got)
			}
		}
	}
	whole := b.sheet("2026-09-14", "2026-09-14", units.US)
	day, season := whole.DaySheet(), whole.Season()
	check(day, "sown", "Seed, lb", "Cost")
	check(day, "balance", "Sown, lb", "Left, lb", "Not placed, lb")
	check(day, "boxes", "Left, lb")
	check(season, "use", "Sown, lb", "In boxes, lb", "Not placed, lb")
	check(season, "bill", "Sown", "Left", "Not placed")
	check(season, "costs", "Seed, lb", "Cost")
	check(season, "days", "Seed, lb", "Cost")
	if csv := string(tableOf(t, day, "sown")); strings.Contains(csv, "not known") || strings.Contains(csv, ",0,") {
		t.Errorf("programs are told a figure: %s", csv)
	}
	b.Write(0, &entry.LevelRead{Box: box, Mass: entry.Some(lb("30 lb"))})
	if got := column(t, b.day(), "balance", "Sown, lb"); got[0] != "18.0" {
		t.Errorf("weighed, and still %q", got)
	}
}

// More poured than came leaves less than nothing in bags: each figure of that
// lot is marked, in mass and in money, whether or not somebody said that the
// fill is as written.
func TestLessThanNothingIsMarked(t *testing.T) {
	b, _, box, lot, _ := splitCrew(t)
	b.Write(0, &entry.BagsIn{Lot: lot, Bags: 1000})
	fill := b.Write(0, &entry.Filled{Box: box, Lot: lot, Bags: 3000})
	for _, settled := range []bool{false, true} {
		if settled {
			b.Write(0, &entry.Settled{Doubt: "more-than-came", Entries: []entry.ID{fill}, Choice: entry.AsWritten, Value: entry.Some[int64](3000), Why: "counted"})
		}
		whole := b.sheet("2026-09-14", "2026-09-14", units.US)
		l, _ := b.State.View().LotOf(lot)
		for _, table := range []string{"use", "bill"} {
			got := column(t, whole.Season(), table, "In doubt")
			if !strings.Contains(got[0], "more left the bags than came") || strings.Contains(got[0], "more used than came") == settled {
				t.Errorf("settled %v, %s: %q", settled, table, got)
			}
		}
		var page bytes.Buffer
		if err := sheet.HTML(&page, whole.Trace(l)); err != nil {
			t.Fatal(err)
		}
		if text := page.String(); !strings.Contains(text, "-100.0 lb ?") || !strings.Contains(text, "more left the bags than came") {
			t.Errorf("settled %v: the lot's paper has no mark: %s", settled, text)
		}
	}
}

// Where all that left the bags beyond what came can have been let out before and
// poured again, a paper says so, and names no doubt that there is none of.
func TestWhatWasLetOutMayBePouredAgain(t *testing.T) {
	b, _, box, lot, _ := splitCrew(t)
	b.Write(0, &entry.BagsIn{Lot: lot, Bags: 3000})
	b.Write(0, &entry.Filled{Box: box, Lot: lot, Bags: 3000})
	b.Write(0, &entry.Drained{Box: box, All: true})
	b.Write(0, &entry.Filled{Box: box, Lot: lot, Bags: 2000})
	got := column(t, b.sheet("2026-09-14", "2026-09-14", units.US).Season(), "use", "In doubt")
	if !strings.Contains(got[0], "perhaps what was let out was poured again") || strings.Contains(got[0], "left the bags") {
		t.Errorf("says %q", got)
	}
}
